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

/** The packs and resolved records of RFC 8428 section 5.1, MEMORY: written from memory of the RFC's text. */
describe('the examples of RFC 8428 section 5.1', () => {
  it('5.1.1: a single datapoint has the time of reception', () => {
    const pack = [{ n: 'urn:dev:ow:10e2073a01080063', u: 'Cel', v: 23.1 }];
    expect(decodeSenml(pack, 1.5e9)).toEqual([
      {
        name: 'urn:dev:ow:10e2073a01080063',
        unit: 'Cel',
        time_s: 1.5e9,
        value: 23.1,
        kind: 'number',
        sum: null,
        updateTime_s: null,
      },
    ]);
  });

  it('5.1.2: base name, time and unit apply to all records, and an own unit wins', () => {
    const pack = [
      {
        bn: 'urn:dev:ow:10e2073a0108006:',
        bt: 1.276020076001e9,
        bu: 'A',
        bver: 5,
        n: 'voltage',
        u: 'V',
        v: 120.1,
      },
      { n: 'current', t: -5, v: 1.2 },
      { n: 'current', t: -4, v: 1.3 },
      { n: 'current', t: -3, v: 1.4 },
      { n: 'current', t: -2, v: 1.5 },
      { n: 'current', t: -1, v: 1.6 },
      { n: 'current', v: 1.7 },
    ];
    const resolved = decodeSenml(pack, 0);
    expect(resolved.map((record) => record.name)).toEqual([
      'urn:dev:ow:10e2073a0108006:voltage',
      ...Array(6).fill('urn:dev:ow:10e2073a0108006:current'),
    ]);
    expect(resolved.map((record) => record.unit)).toEqual(['V', 'A', 'A', 'A', 'A', 'A', 'A']);
    expect(resolved.map((record) => record.time_s)).toEqual([
      1276020076.001, 1276020071.001, 1276020072.001, 1276020073.001, 1276020074.001, 1276020075.001,
      1276020076.001,
    ]);
    expect(resolved.map((record) => record.value)).toEqual([120.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7]);
  });

  it('5.1.3 and 5.1.4: records without a name take the base name', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063', bt: 1.320067464e9, bu: '%RH', v: 20 },
      { u: 'lon', v: 24.30621 },
      { u: 'lat', v: 60.07965 },
      { t: 60, v: 20.3 },
      { u: 'lon', t: 60, v: 24.30622 },
      { u: 'lat', t: 60, v: 60.07965 },
    ];
    expect(
      decodeSenml(pack, 0).map(({ name, unit, time_s, value }) => ({
        n: name,
        u: unit,
        t: time_s,
        v: value,
      })),
    ).toEqual([
      { n: 'urn:dev:ow:10e2073a01080063', u: '%RH', t: 1.320067464e9, v: 20 },
      { n: 'urn:dev:ow:10e2073a01080063', u: 'lon', t: 1.320067464e9, v: 24.30621 },
      { n: 'urn:dev:ow:10e2073a01080063', u: 'lat', t: 1.320067464e9, v: 60.07965 },
      { n: 'urn:dev:ow:10e2073a01080063', u: '%RH', t: 1.320067524e9, v: 20.3 },
      { n: 'urn:dev:ow:10e2073a01080063', u: 'lon', t: 1.320067524e9, v: 24.30622 },
      { n: 'urn:dev:ow:10e2073a01080063', u: 'lat', t: 1.320067524e9, v: 60.07965 },
    ]);
  });

  it('5.1.5: strings, booleans and data are values', () => {
    const pack = [
      { bn: 'urn:dev:ow:10e2073a01080063:', n: 'temp', u: 'Cel', v: 23.1 },
      { n: 'label', vs: 'Machine Room' },
      { n: 'open', vb: false },
      { n: 'nfc-reader', vd: 'aGkgCg' },
    ];
    expect(decodeSenml(pack, 0).map(({ kind, value }) => [kind, value])).toEqual([
      ['number', 23.1],
      ['string', 'Machine Room'],
      ['boolean', false],
      ['data', 'aGkgCg'],
    ]);
  });
});

/** Rules of RFC 8428 section 4, MEMORY. */
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

/** Factors of RFC 8798 section 3 (hPa 100, mV and mA 0.001, min 60, h 3600, /100 0.01 of a ratio), MEMORY. */
describe('units of the SenML registry', () => {
  it.each([
    ['hPa', 'Pa', 4000, 400000],
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
