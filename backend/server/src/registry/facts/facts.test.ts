import { describe, expect, it } from 'vitest';
import { saturationTemperature } from '@coldrounds/core';
import type { CircuitFacts } from '../../storage/fleet.js';
import { reconverted } from './reconvert.js';
import { changedFrom, factsAt, joinedAt, sameConverted, sameJudged } from './timeline.js';

const transducer = (reference: 'gauge' | 'absolute') => ({
  minimum: 0,
  maximum: 1e6,
  tolerance: 1e4,
  reference,
});
const sensor = { minimum: 223, maximum: 423, tolerance: 0.3 };
const facts = (
  given: Partial<CircuitFacts> = {},
  reference: 'gauge' | 'absolute' = 'absolute',
): CircuitFacts => ({
  refrigerant: 'R134a',
  evaporator: 'dry-expansion',
  reversible: false,
  reporting: null,
  altitude_m: 0,
  entry: {
    number: 1,
    valve: { size: 'small', kv_m3_h: 1, fullStroke_steps: 2500, rate_steps_s: 300, motors: 1 },
    suctionPressure: transducer(reference),
    dischargePressure: transducer('absolute'),
    suctionTemperature: sensor,
    dischargeTemperature: sensor,
    liquidTemperature: sensor,
    floodbackLimit_K: 2,
    safetyMargin_K: 1,
  },
  ...given,
});
const [a, b, c] = ['R134a', 'R513A', 'R1234yf'].map((refrigerant) => facts({ refrigerant }));
const names = (timeline: Parameters<typeof factsAt>[0], times: number[]) =>
  times.map((at_s) => factsAt(timeline, at_s).refrigerant);

describe('what held of a circuit over time', () => {
  it('changes at the moment from which a change holds, and not before', () => {
    const changed = changedFrom([{ until_s: null, facts: a }], b, 100);
    expect(names(changed, [0, 99.9, 100, 500])).toEqual(['R134a', 'R134a', 'R513A', 'R513A']);
  });

  it('is replaced from that moment on by a later correction, and altogether by one that always held', () => {
    const first = changedFrom([{ until_s: null, facts: a }], b, 100);
    expect(names(changedFrom(first, c, 50), [0, 49, 50, 100, 200])).toEqual([
      'R134a',
      'R134a',
      ...['R1234yf', 'R1234yf', 'R1234yf'],
    ]);
    expect(names(changedFrom(first, c, 150), [0, 120, 150])).toEqual(['R134a', 'R513A', 'R1234yf']);
    expect(names(changedFrom(first, c, null), [0, 120, 150])).toEqual(['R1234yf', 'R1234yf', 'R1234yf']);
  });

  it('joins two timelines at a moment', () => {
    const joined = joinedAt(
      [{ until_s: null, facts: a }],
      changedFrom([{ until_s: null, facts: b }], c, 200),
      100,
    );
    expect(names(joined, [0, 99, 100, 199, 200])).toEqual(['R134a', 'R134a', 'R513A', 'R513A', 'R1234yf']);
  });

  it('tells what a reading and a judgement hang on', () => {
    const gauge = facts({}, 'gauge');
    expect(sameConverted(a, gauge)).toBe(false);
    expect(sameConverted(a, facts({ evaporator: 'flooded' }))).toBe(true);
    expect(sameJudged(a, facts({ evaporator: 'flooded' }))).toBe(false);
    expect(
      sameJudged(a, { ...a, entry: { ...a.entry, assumed: ['kv_m3_h'], refrigerantCharge_kg: undefined } }),
    ).toBe(true);
  });
});

describe('a stored reading after a correction', () => {
  const time_s = Float64Array.from([0, 50, 100, 150]);
  const pressure_Pa = Float64Array.from([3e5, 3e5, 3e5, NaN]);

  it('has the standard atmosphere added where the transducer turns out to be a gauge: 101,325 Pa at sea level (ISO 2533)', () => {
    const to = changedFrom([{ until_s: null, facts: a }], facts({}, 'gauge'), 100);
    const { suctionPressure_Pa, dischargePressure_Pa, suctionSaturation_K } = reconverted(
      time_s,
      pressure_Pa,
      pressure_Pa,
      [{ until_s: null, facts: a }],
      to,
    );
    expect([...suctionPressure_Pa]).toEqual([3e5, 3e5, 401_325, NaN]);
    expect([...dischargePressure_Pa]).toEqual([3e5, 3e5, 3e5, NaN]);
    expect(suctionSaturation_K[2]).toBeCloseTo(saturationTemperature('R134a', 401_325, 'dew'), 6);
    expect(suctionSaturation_K[3]).toBeNaN();
  });

  it('has the saturation temperature of the refrigerant that was in the circuit then', () => {
    const to = changedFrom([{ until_s: null, facts: a }], b, 100);
    const { suctionSaturation_K } = reconverted(
      time_s,
      pressure_Pa,
      pressure_Pa,
      [{ until_s: null, facts: a }],
      to,
    );
    expect(suctionSaturation_K[0]).toBeCloseTo(saturationTemperature('R134a', 3e5, 'dew'), 6);
    expect(suctionSaturation_K[2]).toBeCloseTo(saturationTemperature('R513A', 3e5, 'dew'), 6);
  });

  it('comes back to itself by there and back', () => {
    const [plain, high] = [facts({}, 'gauge'), facts({ altitude_m: 1500 }, 'gauge')];
    const there = reconverted(
      time_s,
      pressure_Pa,
      pressure_Pa,
      [{ until_s: null, facts: plain }],
      [{ until_s: null, facts: high }],
    );
    const back = reconverted(
      time_s,
      there.suctionPressure_Pa,
      there.dischargePressure_Pa,
      [{ until_s: null, facts: high }],
      [{ until_s: null, facts: plain }],
    );
    expect(back.suctionPressure_Pa[0]).toBeCloseTo(3e5, 6);
    expect(there.suctionPressure_Pa[0]).toBeLessThan(2.9e5);
  });
});
