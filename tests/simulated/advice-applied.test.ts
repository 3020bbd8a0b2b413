import { diagnoseUnit, type Advice, type Cause } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type Fault } from '@coldrounds/simulator';
import { describe, expect, it } from 'vitest';

const judged = (input: CircuitCase) => {
  const { unit, series } = simulateCircuit(input);
  return diagnoseUnit({ unit, altitude_m: 0, circuits: [series] });
};
/** What is advised for a cause that the unit has. */
function advised(input: CircuitCase, cause: Cause): Advice {
  const found = judged(input).diagnoses.find((one) => one.cause === cause);
  expect(found?.advice, cause).toBeTruthy();
  return found!.advice!;
}

const air: CircuitCase = { seed: 7001, refrigerant: 'R410A', condenser: 'air', capacity_W: 120e3, days: 3 };
const water: CircuitCase = { seed: 7006, refrigerant: 'R134a', capacity_W: 300e3, days: 3 };
/** Sizes that are sold, Kv in m3/h (the series of preferred numbers R5). */
const sizes = [0.25, 0.4, 0.63, 1, 1.6, 2.5, 4, 6.3, 10, 16, 25];
/** On a slow, loaded machine. */
const generous_ms = 300_000;
/** A valve is chosen to stand at no more than this share of its stroke (common practice, no source). */
const mostOpen = 0.8;

describe('advice that is followed', () => {
  it.each([
    ['air-cooled', air],
    ['water-cooled', water],
  ])(
    'ends the hunting of a valve six times too large (%s)',
    (_, unit) => {
      const { highestLoad } = advised(
        { ...unit, faults: [{ kind: 'valve-too-large', factor: 6 }] },
        'valve-too-large',
      ).figures;
      const kv_m3_h = sizes.find((size) => mostOpen * size >= highestLoad.high)!;
      const conditions = judged({ ...unit, kv_m3_h }).findings.map(({ condition }) => condition);
      for (const condition of ['hunting', 'starved', 'valve-at-limit'])
        expect(conditions).not.toContain(condition);
    },
    generous_ms,
  );

  it.each([
    ['air-cooled', air],
    ['water-cooled', water],
  ])(
    'ends the hunting of a loop of three times its gain (%s)',
    (_, unit) => {
      const tuned = (share: number, times: number): Fault => ({
        kind: 'loop-tuned-too-hard',
        gain: 3 * share,
        integralTime: 0.35 * times,
      });
      const { gain, integralTime } = advised(
        { ...unit, faults: [tuned(1, 1)] },
        'loop-tuned-too-hard',
      ).figures;
      const { findings } = judged({ ...unit, faults: [tuned(gain.value, integralTime.value)] });
      expect(findings.map(({ condition }) => condition)).not.toContain('hunting');
    },
    generous_ms,
  );
});
