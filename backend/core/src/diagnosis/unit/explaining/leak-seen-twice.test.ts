import { describe, expect, it } from 'vitest';
import type { Cause } from '../../cause.js';
import { fewestCauses, type Symptom } from './fewest-causes.js';
import { weighedByLeakSeenTwice } from './leak-seen-twice.js';
import { sampleSymptom as symptom } from './sample-symptom.js';

const standing = symptom('pressures-meet-fast', {
  'valve-leaks-by': 0.75,
  'compressor-weak': 0.15,
  'something-else': 0.1,
});
const weights = ({ suspects }: Symptom) =>
  Object.fromEntries(suspects.map(({ cause, weight }) => [cause, weight])) as Partial<Record<Cause, number>>;

describe('a shut valve that leaks by', () => {
  it('is likelier where a stop and the running opening both point to it, by Bayes’ rule', () => {
    const running = symptom('departs-from-normal', { 'valve-leaks-by': 0.04, 'valve-offset': 0.96 });
    const [stop, run] = weighedByLeakSeenTwice([standing, running]).map(weights);
    // One leak for both: 0.75 * 0.04 / 0.04 = 0.75; a leak beside lost steps: 0.75 * 0.96 * 0.5 = 0.36; neither: 0.25 * 0.96 = 0.24.
    expect(stop['valve-leaks-by']).toBeCloseTo(1.11 / 1.35, 9);
    expect(run['valve-leaks-by']).toBeCloseTo(0.75 / 1.35, 9);
    // What is left is divided as before.
    expect(stop['compressor-weak']! / stop['something-else']!).toBeCloseTo(1.5, 9);
    expect(run['valve-offset']).toBeCloseTo(0.6 / 1.35, 9);
    const surely = weighedByLeakSeenTwice([
      standing,
      symptom('departs-from-normal', { 'valve-leaks-by': 0.6, 'valve-offset': 0.35 }),
    ]).map(weights);
    expect(surely.map((one) => one['valve-leaks-by'])).toEqual([0.95, 0.95]);
  });

  it('is weighed as before where one of the two says nothing of it', () => {
    const other = symptom('departs-from-normal', { 'condenser-fouled': 0.9 });
    expect(weighedByLeakSeenTwice([standing, other])).toEqual([standing, other]);
    expect(weighedByLeakSeenTwice([standing])).toEqual([standing]);
  });

  it('is not said of pressures that meet fast where refrigerant is missing: no liquid keeps them up', () => {
    const missing = symptom('departs-from-normal', { 'missing-refrigerant': 0.94 });
    const found = fewestCauses([standing, missing]);
    expect(found.map(({ cause }) => cause)).toEqual(['missing-refrigerant']);
    expect(found[0].consequences).toEqual([standing.finding]);
  });
});
