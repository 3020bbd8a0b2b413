import { describe, expect, it } from 'vitest';
import type { Cause } from '../../cause.js';
import { weighedAcrossCircuits } from './across-circuits.js';
import type { Symptom } from './fewest-causes.js';
import { sampleSymptom } from './sample-symptom.js';

/** A circuit's departure with what it points to, and which sensors. */
const departs = (
  circuit: number,
  weights: Partial<Record<Cause, number>>,
  sensors: Record<string, number>,
): Symptom[] => [
  sampleSymptom('departs-from-normal', weights, {
    circuit,
    explanations: [
      {
        cause: 'a sensor reads wrong',
        weight: weights['sensor-wrong'] ?? 0,
        sensors: Object.entries(sensors).map(([sensor, weight]) => ({ sensor, weight })),
        supports: [],
        contradicts: [],
      },
    ],
  }),
];

const weightsOf = (circuits: readonly (readonly Symptom[])[]) =>
  circuits.map(([{ suspects }]) =>
    Object.fromEntries(suspects.map(({ cause, weight }) => [cause, Number(weight.toFixed(2))])),
  );
const total = (circuit: Record<string, number>) =>
  Object.values(circuit).reduce((sum, weight) => sum + weight, 0);

// Expected by Bayes' rule on paper: one cause of both has its prior once, two wrong sensors have theirs twice.
describe('departures of circuits that share their water', () => {
  const fouled = (circuit: number, sensor: string) =>
    departs(
      circuit,
      { 'evaporator-fouled': 0.4, 'sensor-wrong': 0.5, 'something-else': 0.1 },
      { [sensor]: 0.5 },
    );

  it('come from what both share, rather than from a sensor of each that went off alike', () => {
    const both = weightsOf(
      weighedAcrossCircuits([fouled(1, 'suction-temperature'), fouled(2, 'suction-temperature')]),
    );
    // Shared: 0.4 * 0.4 / 0.1; own: 0.5 * (0.5 + 0.3 * 0.5). Of the 0.9 of both.
    for (const circuit of both) {
      expect(circuit['evaporator-fouled']).toBeCloseTo((0.9 * 1.6) / (1.6 + 0.325), 2);
      expect(circuit['something-else']).toBe(0.1);
      expect(total(circuit)).toBeCloseTo(1, 1);
    }
  });

  it('never make a cause surer than patterns are, where two are there at once or another circuit shows nothing of one', () => {
    // A sum of 1.8: two causes at once. What only one circuit shows of the chilled water is not shared by both.
    const one = { 'condenser-flow-low': 0.6, 'condenser-fouled': 0.2, 'something-else': 0.2 } as const;
    const two = {
      'evaporator-flow-low': 0.86,
      'condenser-flow-low': 0.64,
      'condenser-fouled': 0.3,
      'something-else': 0.05,
    } as const;
    const [first, second] = weightsOf(weighedAcrossCircuits([departs(1, one, {}), departs(2, two, {})]));
    // Geometric means 0.75 : 0.25 against 0.36 : 0.17.
    const [low, fouled] = [Math.sqrt(0.75 * (0.64 / 1.8)), Math.sqrt(0.25 * (0.3 / 1.8))];
    expect(second['condenser-flow-low']).toBeCloseTo(low / (low + fouled), 2);
    expect(second['evaporator-flow-low']).toBe(0);
    expect(first['condenser-flow-low']).toBeCloseTo((0.8 * low) / (low + fouled), 2);
    // Both circuits are sure of both causes: each stays at most 0.95.
    const both = { 'condenser-flow-low': 0.95, 'condenser-fouled': 0.6 } as const;
    const [sure] = weightsOf(weighedAcrossCircuits([departs(1, both, {}), departs(2, both, {})]));
    expect(sure['condenser-flow-low']).toBe(0.95);
    expect(sure['condenser-fouled']).toBeCloseTo(0.6, 2);
  });

  it('say no more of an instrument that both are read against: it is the same evidence twice', () => {
    const flow = departs(
      1,
      { 'evaporator-flow-low': 0.6, 'sensor-wrong': 0.35, 'something-else': 0.05 },
      { 'water-flow': 0.35 },
    );
    const [one, other] = weightsOf(weighedAcrossCircuits([flow, flow]));
    expect(one).toEqual({ 'evaporator-flow-low': 0.6, 'sensor-wrong': 0.35, 'something-else': 0.05 });
    expect(other).toEqual(one);
  });

  it('leave a shared sensor that only one circuit points to for the cause that both point to', () => {
    const [first, second] = weightsOf(
      weighedAcrossCircuits([fouled(1, 'suction-temperature'), fouled(2, 'leaving-water-temperature')]),
    );
    expect(first['evaporator-fouled']).toBeGreaterThan(0.75);
    expect(second['evaporator-fouled']).toBeGreaterThan(0.75);
  });

  it('stay as they are where one circuit alone departs, or points elsewhere, and for all other causes', () => {
    const one = fouled(1, 'suction-temperature');
    expect(weighedAcrossCircuits([one, []])).toEqual([one, []]);
    expect(weighedAcrossCircuits([one])).toEqual([one]);
    const weak = departs(2, { 'compressor-weak': 0.9, 'evaporator-fouled': 0.05 }, {});
    expect(weighedAcrossCircuits([one, weak])).toEqual([one, weak]);
    const both = departs(2, { 'compressor-weak': 0.5, 'evaporator-fouled': 0.4 }, {});
    expect(weightsOf(weighedAcrossCircuits([one, both]))[1]['compressor-weak']).toBe(0.5);
  });
});
