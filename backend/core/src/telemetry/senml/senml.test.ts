import { describe, expect, it } from 'vitest';
import { decodeSenml, SenmlError } from './senml.js';
import { acceptedUnits, conversionOf } from './senml-units.js';

const problemOf = (pack: unknown) => {
  try {
    decodeSenml(pack, 0);
  } catch (error) {
    return (error as SenmlError).problem;
  }
  return null;
};

const ow = 'urn:dev:ow:10e2073a01080063';
const resolved = (pack: unknown, now_s = 0) =>
  decodeSenml(pack, now_s).map(({ name, unit, time_s, value }) => ({
    n: name,
    u: unit,
    t: time_s,
    v: value,
  }));

/** PUBLISHED: packs and resolved records as printed in RFC 8428 (August 2018) section 5.1. */
describe('the examples of RFC 8428 section 5.1', () => {
  it('5.1.1: a single data point has the time of reception', () => {
    expect(decodeSenml([{ n: ow, u: 'Cel', v: 23.1 }], 1.5e9)).toEqual([
      { name: ow, unit: 'Cel', time_s: 1.5e9, value: 23.1, kind: 'number', sum: null, updateTime_s: null },
    ]);
  });

  it('5.1.2: voltage and current now, under one base name', () => {
    const pack = [
      { bn: `${ow}:`, n: 'voltage', u: 'V', v: 120.1 },
      { n: 'current', u: 'A', v: 1.2 },
    ];
    expect(resolved(pack, 1.5e9)).toEqual([
      { n: `${ow}:voltage`, u: 'V', t: 1.5e9, v: 120.1 },
      { n: `${ow}:current`, u: 'A', t: 1.5e9, v: 1.2 },
    ]);
  });

  it('5.1.2: base time and unit apply to all records, and an own unit wins', () => {
    // The base name is printed so, one digit short.
    const short = 'urn:dev:ow:10e2073a0108006:';
    const pack = [
      { bn: short, bt: 1.276020076001e9, bu: 'A', bver: 5, n: 'voltage', u: 'V', v: 120.1 },
      { n: 'current', t: -5, v: 1.2 },
      { n: 'current', t: -4, v: 1.3 },
      { n: 'current', t: -3, v: 1.4 },
      { n: 'current', t: -2, v: 1.5 },
      { n: 'current', t: -1, v: 1.6 },
      { n: 'current', v: 1.7 },
    ];
    expect(resolved(pack)).toEqual([
      { n: `${short}voltage`, u: 'V', t: 1276020076.001, v: 120.1 },
      { n: `${short}current`, u: 'A', t: 1276020071.001, v: 1.2 },
      { n: `${short}current`, u: 'A', t: 1276020072.001, v: 1.3 },
      { n: `${short}current`, u: 'A', t: 1276020073.001, v: 1.4 },
      { n: `${short}current`, u: 'A', t: 1276020074.001, v: 1.5 },
      { n: `${short}current`, u: 'A', t: 1276020075.001, v: 1.6 },
      { n: `${short}current`, u: 'A', t: 1276020076.001, v: 1.7 },
    ]);
  });

  it('5.1.3 resolves to what 5.1.4 prints', () => {
    const pack = [
      { bn: ow, bt: 1.320067464e9, bu: '%RH', v: 20 },
      { u: 'lon', v: 24.30621 },
      { u: 'lat', v: 60.07965 },
      { t: 60, v: 20.3 },
      { u: 'lon', t: 60, v: 24.30622 },
      { u: 'lat', t: 60, v: 60.07965 },
      { t: 120, v: 20.7 },
      { u: 'lon', t: 120, v: 24.30623 },
      { u: 'lat', t: 120, v: 60.07966 },
      { u: '%EL', t: 150, v: 98 },
      { t: 180, v: 21.2 },
      { u: 'lon', t: 180, v: 24.30628 },
      { u: 'lat', t: 180, v: 60.07967 },
    ];
    expect(resolved(pack)).toEqual([
      { n: ow, u: '%RH', t: 1.320067464e9, v: 20 },
      { n: ow, u: 'lon', t: 1.320067464e9, v: 24.30621 },
      { n: ow, u: 'lat', t: 1.320067464e9, v: 60.07965 },
      { n: ow, u: '%RH', t: 1.320067524e9, v: 20.3 },
      { n: ow, u: 'lon', t: 1.320067524e9, v: 24.30622 },
      { n: ow, u: 'lat', t: 1.320067524e9, v: 60.07965 },
      { n: ow, u: '%RH', t: 1.320067584e9, v: 20.7 },
      { n: ow, u: 'lon', t: 1.320067584e9, v: 24.30623 },
      { n: ow, u: 'lat', t: 1.320067584e9, v: 60.07966 },
      { n: ow, u: '%EL', t: 1.320067614e9, v: 98 },
      { n: ow, u: '%RH', t: 1.320067644e9, v: 21.2 },
      { n: ow, u: 'lon', t: 1.320067644e9, v: 24.30628 },
      { n: ow, u: 'lat', t: 1.320067644e9, v: 60.07967 },
    ]);
  });

  it('5.1.5: strings, booleans and data are values', () => {
    const pack = [
      { bn: `${ow}:`, n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'label', vs: 'Machine Room' },
      { n: 'open', vb: false },
      { n: 'nfc-reader', vd: 'aGkgCg' },
    ];
    expect(decodeSenml(pack, 0).map(({ name, kind, value }) => [name, kind, value])).toEqual([
      [`${ow}:temp`, 'number', 23.1],
      [`${ow}:label`, 'string', 'Machine Room'],
      [`${ow}:open`, 'boolean', false],
      [`${ow}:nfc-reader`, 'data', 'aGkgCg'],
    ]);
  });

  it('5.1.6: the last record has the base name of the third, and the base time of the first', () => {
    const pack = [
      { bn: '2001:db8::2/', bt: 1.320078429e9, n: 'temperature', u: 'Cel', v: 25.2 },
      { n: 'humidity', u: '%RH', v: 30 },
      { bn: '2001:db8::1/', n: 'temperature', u: 'Cel', v: 12.3 },
      { n: 'humidity', u: '%RH', v: 67 },
    ];
    expect(resolved(pack).at(-1)).toEqual({
      n: '2001:db8::1/humidity',
      u: '%RH',
      t: 1.320078429e9,
      v: 67,
    });
  });

  it('5.1.7: base values may come in a record of their own, and times differ within a pack', () => {
    const thermostat = [
      { bn: `${ow}:` },
      { n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'heat', u: '/', v: 1 },
      { n: 'fan', u: '/', v: 0 },
    ];
    expect(resolved(thermostat).map(({ n }) => n)).toEqual([`${ow}:temp`, `${ow}:heat`, `${ow}:fan`]);
    const lights = [
      { bt: 1.320078429e9, bu: '/', n: '2001:db8::3', v: 0.5 },
      { n: '2001:db8::4', v: 0.5 },
      { n: '2001:db8::3', t: 0.1, v: 0 },
      { n: '2001:db8::4', t: 0.1, v: 0 },
    ];
    expect(resolved(lights).map(({ t }) => t)).toEqual([1320078429, 1320078429, 1320078429.1, 1320078429.1]);
  });
});

/** PUBLISHED: the rules of RFC 8428 sections 4.1 to 4.6. */
describe('a SenML pack', () => {
  it('adds base value and base sum', () => {
    const [first, second] = decodeSenml(
      [
        { bn: 'a', bv: 100, bs: 10, v: 1 },
        { v: -2, s: 5 },
      ],
      0,
    );
    expect(first.value).toBe(101);
    expect(second.value).toBe(98);
    expect(second.sum).toBe(15);
  });

  it('changes its base values from a record on', () => {
    const pack = [{ bn: 'a', bt: 1.6e9, v: 1 }, { bn: 'b', bt: 1.7e9 }, { v: 2 }];
    expect(decodeSenml(pack, 0).map(({ name, time_s }) => [name, time_s])).toEqual([
      ['a', 1.6e9],
      ['b', 1.7e9],
    ]);
  });

  it('takes times under 2^28 s as relative to now, negative ones too, and others as absolute', () => {
    const pack = [
      { n: 'a', t: -30, v: 1 },
      { n: 'a', t: 2 ** 28 - 1, v: 1 },
      { n: 'a', t: 2 ** 28, v: 1 },
      { n: 'a', bt: -10, t: 4, v: 1 },
    ];
    expect(decodeSenml(pack, 1.7e9).map((record) => record.time_s)).toEqual([
      1.7e9 - 30,
      1.7e9 + 2 ** 28 - 1,
      2 ** 28,
      1.7e9 - 6,
    ]);
  });

  it('passes over unknown fields, except those that must be understood', () => {
    expect(problemOf([{ n: 'a', v: 1, comment: 'x' }])).toBeNull();
    expect(problemOf([{ n: 'a', v: 1, limit_: 3 }])).toBe('unknown-mandatory-field');
  });

  it.each([
    ['not-an-array', { n: 'a', v: 1 }],
    ['not-a-record', [3]],
    ['not-a-record', [null]],
    ['wrong-field-type', [{ n: 'a', v: '1' }]],
    ['wrong-field-type', [{ n: 'a', v: 1, t: '0' }]],
    ['wrong-field-type', [{ n: 'a', v: null }]],
    ['several-values', [{ n: 'a', v: 1, vb: true }]],
    ['no-value', [{ n: 'a' }]],
    ['no-name', [{ v: 1 }]],
    ['illegal-name', [{ n: 'a b', v: 1 }]],
    ['illegal-name', [{ n: '-a', v: 1 }]],
    ['unsupported-version', [{ bver: 11, n: 'a', v: 1 }]],
    [
      'unsupported-version',
      [
        { bver: 10, n: 'a', v: 1 },
        { bver: 9, n: 'a', v: 1 },
      ],
    ],
  ])('is refused as %s', (problem, pack) => {
    expect(problemOf(pack)).toBe(problem);
  });
});

/** PUBLISHED: scales of RFC 8798 (June 2020) table 2; `%` is read as this contract has it, see `conversionOf`. */
describe('units of the SenML registry', () => {
  it.each([
    ['hPa', 'Pa', 4000, 400000],
    ['ms', 's', 250, 0.25],
    ['/1000', '%', 450, 45],
    ['Cel', 'K', 7, 280.15],
    ['/', '%', 0.45, 45],
    ['/100', '%', 45, 45],
    ['%', '%', 45, 45],
    ['l/s', 'm3/s', 12, 0.012],
    ['mV', 'V', 2500, 2.5],
    ['mA', 'A', 1500, 1.5],
    ['min', 's', 2, 120],
    ['h', 's', 1, 3600],
  ] as const)('%s become %s', (sent, wanted, value, expected) => {
    const { scale, offset } = conversionOf(sent, wanted)!;
    expect(value * scale + offset).toBeCloseTo(expected, 10);
  });

  it('are not mixed: a wrong one converts to nothing', () => {
    expect(conversionOf('Pa', 'K')).toBeNull();
    expect(conversionOf('bar', 'Pa')).toBeNull();
    expect(conversionOf(null, 'Pa')).toBeNull();
    expect(conversionOf('constructor', 'Pa')).toBeNull();
  });

  it('do not shift a temperature difference by the zero of a scale', () => {
    expect(conversionOf('Cel', 'K', true)).toBeNull();
    expect(acceptedUnits('K', true)).toEqual(['K']);
  });
});
