import { describe, expect, it } from 'vitest';
import { standardAtmospherePressure_Pa } from '../units/index.js';
import { circuitMetrics } from './contract.js';
import { decodePack } from './decode-pack.js';
import type { DecodeLimits } from './unread.js';
import type { CircuitEntry } from './registry.js';
import { circuitSubject, condenserSubject, moduleSubject } from './subject.js';
import { formatTopic, parseTopic } from './topic.js';

const temperature = { minimum: 223.15, maximum: 423.15, tolerance: 0.3 };
const circuit: CircuitEntry = {
  number: 1,
  valve: { size: 'kv-1', kv_m3_h: 1, fullStroke_steps: 2500, rate_steps_s: 100, motors: 1 },
  suctionPressure: { minimum: -1e5, maximum: 9e5, tolerance: 1e4, reference: 'gauge' },
  dischargePressure: { minimum: 0, maximum: 3e6, tolerance: 3e4, reference: 'absolute' },
  suctionTemperature: temperature,
  dischargeTemperature: temperature,
  liquidTemperature: temperature,
  floodbackLimit_K: 2,
  safetyMargin_K: 1,
};
const subject = circuitSubject(7, circuit, { refrigerant: 'R134a', altitude_m: 600 });
const limits: DecodeLimits = { now_s: 1.7e9, futureTolerance_s: 600, oldest_s: 0 };
const read = (pack: unknown, other = subject) => decodePack(JSON.stringify(pack), other, limits);
const column = (name: string) => circuitMetrics.findIndex((metric) => metric.name === name);

describe('a pack of a circuit', () => {
  it('becomes one row per time step, whatever the order of its records', () => {
    const byTime = [
      { bt: 1.69e9, n: 'suction-pressure', u: 'Pa', v: 2.5e5 },
      { n: 'suction-temperature', u: 'Cel', v: 7 },
      { n: 'suction-pressure', u: 'Pa', t: 10, v: 2.6e5 },
      { n: 'suction-temperature', u: 'K', t: 10, v: 281 },
    ];
    const byName = [byTime[0], byTime[2], byTime[1], byTime[3]];
    for (const pack of [byTime, byName]) {
      const { rows, rejection, taken } = read(pack);
      expect(rejection).toBeNull();
      expect(taken).toBe(4);
      expect([...rows.time_ms]).toEqual([1.69e12, 1.69e12 + 10_000]);
      expect(rows.columns[column('suction-temperature')][0]).toBeCloseTo(280.15, 9);
      expect(rows.columns[column('suction-temperature')][1]).toBe(281);
      expect(rows.columns[column('valve-opening')]).toEqual(new Float64Array(2).fill(NaN));
    }
  });

  it('has gauge pressure made absolute at the altitude of the site; absolute pressure stays as it is', () => {
    const { rows } = read([
      { n: 'suction-pressure', u: 'Pa', v: 2.5e5 },
      { n: 'discharge-pressure', u: 'hPa', v: 10000 },
    ]);
    expect(rows.columns[column('suction-pressure')][0]).toBe(2.5e5 + standardAtmospherePressure_Pa(600));
    expect(rows.columns[column('discharge-pressure')][0]).toBe(1e6);
  });

  it('may count its times back from now, but not ahead as a clock does that began at 1970 with the power', () => {
    const at = (bt: number) => read([{ bt, n: 'valve-opening', u: '%', v: 40 }]);
    expect([...at(-30).rows.time_ms]).toEqual([(1.7e9 - 30) * 1000]);
    expect(at(5).taken).toBe(1);
    // Five minutes and a year after it was switched on.
    for (const since_s of [300, 31_536_000]) {
      expect(at(since_s).taken).toBe(0);
      expect(at(since_s).rejection!.reason).toBe('time-in-future');
    }
  });

  it('may put any prefix before the names', () => {
    const { taken } = read([
      { bn: 'urn:dev:ow:10e2073a01080063:', n: 'valve-opening', u: '%', v: 40 },
      { bn: 'plant/', n: 'chiller-1/compressor-load', u: '%', v: 80 },
    ]);
    expect(taken).toBe(2);
  });

  it('keeps the first of two values for one time', () => {
    const { rows } = read([
      { n: 'valve-opening', u: '%', v: 40 },
      { n: 'valve-opening', u: '%', v: 41 },
    ]);
    expect([...rows.columns[column('valve-opening')]]).toEqual([40]);
  });

  it('takes 10,000 records', () => {
    const records = Array.from({ length: 10_000 }, (_, i) => ({
      n: 'valve-opening',
      u: '%',
      t: 1.6e9 + i,
      v: i % 100,
    }));
    const { rows, taken } = read(records);
    expect(taken).toBe(10_000);
    expect(rows.length).toBe(10_000);
    expect(rows.columns[column('valve-opening')][9_999]).toBe(99);
  });

  it.each([
    ['unknown-name', { n: 'suction-presure', u: 'Pa', v: 2e5 }, /"suction-presure"/],
    ['wrong-unit', { n: 'suction-pressure', u: 'bar', v: 2 }, /in "bar"; it is read in Pa, hPa/],
    ['wrong-unit', { n: 'suction-pressure', v: 2e5 }, /without a unit/],
    ['wrong-unit', { n: 'superheat-setpoint', u: 'Cel', v: 6 }, /read in K/],
    ['wrong-type', { n: 'suction-pressure', u: 'Pa', vs: '2e5' }, /no numeric value/],
    ['out-of-range', { n: 'valve-opening', u: '%', v: 101 }, /101 % is outside 0 to 100/],
    ['out-of-range', { n: 'suction-temperature', u: 'Cel', v: 400 }, /suction-temperature 673.15 K/],
    ['time-in-future', { n: 'valve-opening', u: '%', t: 601, v: 1 }, /601 s counts from now and lies ahead/],
    ['time-in-future', { n: 'valve-opening', u: '%', t: limits.now_s + 601, v: 1 }, /10 min ahead/],
    ['time-in-future', { n: 'valve-opening', u: '%', t: 1e300, v: 1 }, /ahead/],
    ['time-too-old', { n: 'valve-opening', u: '%', t: 9.4e8, v: 1 }, /before 2000-01-01/],
  ])('gives its good records though one is %s', (reason, bad, detail) => {
    const good = { n: 'compressor-load', u: '%', v: 50 };
    const { rows, taken, rejection } = read([good, bad, { ...good, t: -10 }]);
    expect(taken).toBe(2);
    expect(rows.length).toBe(2);
    expect(rejection).toMatchObject({ reason, records: 1 });
    expect(rejection!.detail).toMatch(/^Record 2: /);
    expect(rejection!.detail).toMatch(detail);
  });

  it('names the first reason and counts the rest', () => {
    const { rejection } = read([
      { n: 'valve-opening', u: '%', v: 900 },
      { n: 'x', u: '%', v: 900 },
      { n: 'x', u: '%', v: 900 },
    ]);
    expect(rejection).toMatchObject({ reason: 'out-of-range', records: 3 });
    expect(rejection!.detail).toMatch(/\(and 2 more records\)\.$/);
  });

  it.each([
    ['not-json', '{"n":'],
    ['not-json', ''],
    ['not-senml', '{}'],
    ['not-senml', '[{"n":"valve-opening","v":"3"}]'],
    ['not-senml', 'null'],
    ['empty', '[]'],
  ])('is left out whole as %s', (reason, payload) => {
    const { rows, rejection } = decodePack(payload, subject, limits);
    expect(rows.length).toBe(0);
    expect(rejection!.reason).toBe(reason);
  });
});

describe('what a sensor can read', () => {
  const taken = (name: string, v: number) => read([{ n: name, u: 'Pa', v }]).taken;

  it('reaches 10 % of the span and the tolerance beyond the widest transducer of the circuit', () => {
    // Discharge: 0 to 3 MPa absolute, so up to 3 MPa + 0.3 MPa + 0.03 MPa.
    expect(taken('discharge-pressure', 3.32e6)).toBe(1);
    expect(taken('discharge-pressure', 3.34e6)).toBe(0);
  });

  it('at suction includes the range of the discharge transducer, since their wires may be exchanged', () => {
    expect(taken('suction-pressure', 1.5e6)).toBe(1);
    expect(taken('suction-pressure', 4e6)).toBe(0);
  });
});

describe("a pack of the condenser's side", () => {
  it('takes temperatures, flow in m3/s or l/s, and fan speed', () => {
    const { rows, rejection } = read(
      [
        { n: 'entering-temperature', u: 'Cel', v: 29 },
        { n: 'leaving-temperature', u: 'K', v: 307 },
        { n: 'flow', u: 'l/s', v: 21 },
        { n: 'fan-speed', u: '%', v: 60 },
      ],
      condenserSubject(1),
    );
    expect(rejection).toBeNull();
    expect(rows.columns.map((column) => column[0])).toEqual([302.15, 307, 0.021, 60]);
  });
});

describe('compressor power', () => {
  it.each([
    ['W', 52_000],
    ['kW', 52],
  ])('is taken in %s', (u, v) => {
    const { rows } = read([{ n: 'compressor-power', u, v }]);
    expect(rows.columns[column('compressor-power')][0]).toBe(52_000);
  });
});

describe('a pack of a module', () => {
  const module = moduleSubject(3);
  it('takes a switch as boolean or as 0 or 1, and nothing between', () => {
    const { rows, rejection } = read(
      [
        { n: 'mains', vb: true },
        { n: 'health', u: '/', v: 0 },
        { n: 'mains', t: -60, v: 0.5 },
      ],
      module,
    );
    expect(rows.columns[3][0]).toBe(1);
    expect(rows.columns[4][0]).toBe(0);
    expect(rejection).toMatchObject({ reason: 'out-of-range', records: 1 });
  });
});

describe('a topic', () => {
  it.each([
    ['coldrounds/1/harbour/chiller-1/circuits/2', 'circuits', 2],
    ['coldrounds/1/harbour/chiller-1/water', 'water', null],
    ['coldrounds/1/harbour/chiller-1/condenser', 'condenser', null],
    ['coldrounds/1/harbour/chiller-1/backup/1', 'backup', 1],
    ['coldrounds/1/harbour/chiller-1/backup/1/closing', 'closing', 1],
    ['coldrounds/1/harbour/chiller-1/presence', 'presence', null],
  ])('%s is read and written alike', (topic, stream, number) => {
    const address = parseTopic(topic)!;
    expect(address).toEqual({ site: 'harbour', unit: 'chiller-1', stream, number });
    expect(formatTopic(address)).toBe(topic);
  });

  it.each([
    'coldrounds/2/harbour/chiller-1/water',
    'coldrounds/1/Harbour/chiller-1/water',
    'coldrounds/1/harbour/water',
    'coldrounds/1/harbour/chiller-1/circuits/x',
    'coldrounds/1/harbour/chiller-1/circuits/1/extra',
    `coldrounds/1/${'a'.repeat(64)}/chiller-1/water`,
  ])('%s is none of the contract', (topic) => {
    expect(parseTopic(topic)).toBeNull();
  });
});
