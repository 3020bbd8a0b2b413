import { describe, expect, it } from 'vitest';
import type { Cause } from '../../cause.js';
import type { Symptom } from './fewest-causes.js';
import { weighedByHeatBetween } from './heat-between-circuits.js';
import { sampleSymptom } from './sample-symptom.js';

const symptoms = (
  circuit: number,
  weights: Partial<Record<Cause, number>>,
  condition = 'departs-from-normal',
): Symptom[] => [sampleSymptom(condition, weights, { circuit })];

const weightsOf = (circuits: readonly (readonly Symptom[])[]) =>
  circuits.map(([{ suspects }]) =>
    Object.fromEntries(suspects.map(({ cause, weight }) => [cause, weight])),
  ) as Partial<Record<Cause, number>>[];

const exchange = 'circuits-disturb-each-other' as const;

describe('heat that passes between circuits', () => {
  it('explains one evaporator that seems better and another that seems fouled, by Bayes’ rule', () => {
    const [gains, gives] = weightsOf(
      weighedByHeatBetween([
        symptoms(1, { [exchange]: 0.3, 'sensor-wrong': 0.7 }),
        symptoms(2, { 'evaporator-fouled': 0.6, 'sensor-wrong': 0.4 }),
      ]),
    );
    // Odds: 0.3 * (0.6 / 0.06 + 0.03) = 3.009 against 0.7.
    const likely = 3.009 / 3.709;
    expect(gains[exchange]).toBeCloseTo(likely, 9);
    expect(gains['sensor-wrong']).toBeCloseTo(1 - likely, 9);
    expect(gives[exchange]).toBeCloseTo(likely, 9);
    expect(gives['evaporator-fouled']).toBeCloseTo(0.6 * (1 - likely), 9);
  });

  it('is little likely where no other circuit loses what one gains: energy is conserved', () => {
    const alone = symptoms(1, { [exchange]: 0.8, 'sensor-wrong': 0.2 });
    for (const other of [symptoms(2, { 'liquid-line-restricted': 0.9 }), symptoms(2, {}, 'hunting')]) {
      const [gains, gives] = weightsOf(weighedByHeatBetween([alone, other]));
      expect(gains[exchange]).toBeCloseTo(0.024 / 0.224, 9);
      expect(gives[exchange] ?? 0).toBe(0);
    }
  });

  it('is not where both seem better, or both fouled', () => {
    const better = () => symptoms(1, { [exchange]: 0.6, 'sensor-wrong': 0.4 });
    for (const one of weightsOf(weighedByHeatBetween([better(), better()])))
      expect(one[exchange]).toBeLessThan(0.1);
    const fouled = () => symptoms(1, { 'evaporator-fouled': 0.9 });
    expect(weightsOf(weighedByHeatBetween([fouled(), fouled()]))).toEqual([
      { 'evaporator-fouled': 0.9 },
      { 'evaporator-fouled': 0.9 },
    ]);
  });

  it('stands back where a flow that all circuits share explains both as well', () => {
    const of = (flow: number) =>
      weightsOf(
        weighedByHeatBetween([
          symptoms(1, { [exchange]: 0.2, 'evaporator-flow-low': flow, 'sensor-wrong': 0.8 - flow }),
          symptoms(2, { 'evaporator-fouled': 0.3, 'evaporator-flow-low': flow, 'sensor-wrong': 0.7 - flow }),
        ]),
      )[0][exchange]!;
    expect(of(0.6)).toBeLessThan(0.25);
    expect(of(0)).toBeGreaterThan(0.5);
  });

  it('is never surer than patterns are, and leaves a unit of one circuit as it is', () => {
    const [gains] = weightsOf(
      weighedByHeatBetween([
        symptoms(1, { [exchange]: 0.95, 'sensor-wrong': 0.01 }),
        symptoms(2, { 'evaporator-fouled': 0.95 }),
      ]),
    );
    expect(gains[exchange]).toBe(0.95);
    const own = [symptoms(1, { 'evaporator-fouled': 0.9 })];
    expect(weighedByHeatBetween(own)).toEqual(own);
  });
});
