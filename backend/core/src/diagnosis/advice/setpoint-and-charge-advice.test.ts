import { describe, expect, it } from 'vitest';
import type { FloorPart, SteadyFloor } from '../../steadiness/circuit-assessment.js';
import { normalOf, off } from '../causes/sample-departures.js';
import { state } from '../causes/sample-channels.js';
import { chargeAdvice } from './charge-advice.js';
import { setpointAdvice, setpointOverFloorAdvice } from './setpoint-advice.js';

const part = (from: number, floor_K: number | null, bracketed: boolean): FloorPart => ({
  from,
  to: from + 10,
  floor_K,
  uncertainty_K: floor_K === null ? null : 0.2,
  huntedUpTo_K: null,
  bracketed,
  steadyWindows: 8,
  huntingWindows: 3,
  steadyHours: 16,
});
const floor = (...parts: FloorPart[]): SteadyFloor => ({ against: 'compressor-load', parts, points: [] });

describe('advice on the setpoint', () => {
  it('is the highest steady floor that was seen, plus the margin, with each part of the load', () => {
    const advice = setpointAdvice(floor(part(40, 4, true), part(60, 5.5, true)), 1)!;
    expect(advice.figures.setpoint).toEqual({ value: 6.5, low: 6.1, high: 6.9, unit: 'K' });
    expect(advice.figures['from 40 to 50 %']!.value).toBe(5);
    expect(advice.sentence.quantities.setpoint!.value).toBe(6.5);
  });

  it('is none where the floor is only an upper bound, or not known', () => {
    expect(setpointAdvice(floor(part(40, 4, false), part(50, null, false)), 1)).toBeNull();
    expect(setpointAdvice(null, 1)).toBeNull();
  });

  it('takes no part whose floor is only an upper bound', () => {
    const advice = setpointAdvice(floor(part(40, 4, true), part(60, 9, false)), 1)!;
    expect(advice.figures.setpoint!.value).toBe(5);
    expect(Object.keys(advice.figures)).toHaveLength(2);
  });
});

describe('advice on a setpoint under the steady floor', () => {
  /** Steady from 6 K on, restless up to a superheat. */
  const bounded = (from: number, steady_K: number, restless_K: number): FloorPart => ({
    ...part(from, steady_K, false),
    huntedUpTo_K: restless_K,
  });

  it('is the highest superheat that each load has held steadily; the floor lies between that and what is restless', () => {
    const advice = setpointOverFloorAdvice(floor(bounded(40, 5.6, 3.1), bounded(60, 6, 3.2)), 1)!;
    expect(advice.figures.setpoint).toEqual({ value: 6, low: 4.2, high: 7, unit: 'K' });
    expect(advice.figures['from 40 to 50 %']!.value).toBe(5.6);
    expect(advice.sentence.text).toContain('has held that much steadily');
  });

  it('is the floor and the margin where the floor is known', () => {
    const advice = setpointOverFloorAdvice(floor(part(40, 5.4, true), bounded(60, 6, 3.2)), 1)!;
    expect(advice.figures.setpoint!.value).toBeCloseTo(6.4, 9);
  });

  it('is none where restless and steady were seen at one superheat, or never both', () => {
    expect(setpointOverFloorAdvice(floor(bounded(40, 6, 5.9)), 1)).toBeNull();
    expect(setpointOverFloorAdvice(floor(part(40, 6, false)), 1)).toBeNull();
    expect(setpointOverFloorAdvice(null, 1)).toBeNull();
  });
});

describe('advice on the charge', () => {
  const normal = normalOf({ subcooling_K: 5, condenserApproach_K: 3 });
  const plateaus = (subcooling: number) =>
    [0, 1, 2, 3].map(() => off(state, { subcooling_K: [subcooling, 0.2], condenserApproach_K: [0, 0.1] }));

  it('is the subcooling that has to come back, known better from more plateaus', () => {
    // Four plateaus of 0.2 K each, independent: 0.1 K, twice that either side.
    const { figures } = chargeAdvice(normal, plateaus(-3), 'missing-refrigerant')!;
    expect(figures.subcooling).toMatchObject({ value: 3, unit: 'K' });
    expect(figures.subcooling!.low).toBeCloseTo(2.8, 9);
    expect(figures.subcooling!.high).toBeCloseTo(3.2, 9);
    expect(chargeAdvice(normal, plateaus(2), 'excess-refrigerant')!.figures.subcooling!.value).toBe(2);
  });

  it('is none where subcooling departs the other way, is within its uncertainty, or is not judged', () => {
    expect(chargeAdvice(normal, plateaus(-3), 'excess-refrigerant')).toBeNull();
    expect(chargeAdvice(normal, plateaus(-0.15), 'missing-refrigerant')).toBeNull();
    const without = [off(state, { condenserApproach_K: [1, 0.1] })];
    expect(chargeAdvice(normal, without, 'missing-refrigerant')).toBeNull();
  });
});
