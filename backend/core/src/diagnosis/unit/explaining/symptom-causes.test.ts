import { describe, expect, it } from 'vitest';
import { causeNames } from '../../../hunting/causes/hunting-causes.js';
import { supplyCauseNames } from '../../../steadiness/findings/supply/liquid-supply.js';
import { causes } from '../../cause.js';
import type { Explanation } from '../../finding.js';
import { sensorFinding } from '../../sample-sensor-finding.js';
import { explains, suspectsOf } from './symptom-causes.js';

const explained = (cause: string, weight: number): Explanation => ({
  cause,
  weight,
  supports: [],
  contradicts: [],
});
const suspects = (condition: string, explanations: Explanation[] = []) =>
  Object.fromEntries(
    suspectsOf(sensorFinding(condition, 'suction-pressure', { explanations })).map(({ cause, weight }) => [
      cause,
      Number(weight.toFixed(9)),
    ]),
  );

describe('what a symptom points to', () => {
  it('is what its own explanations name, by the words of hunting and of the liquid supply', () => {
    expect(
      suspects('hunting', [
        explained(causeNames['valve-friction'], 0.6),
        explained(causeNames['load-or-water-swings'], 0.4),
      ]),
    ).toEqual({ 'valve-friction': 0.6, 'load-swings': 0.4 });
    expect(
      suspects('valve-at-limit', [
        explained(supplyCauseNames.restriction, 0.7),
        explained(supplyCauseNames['valve-does-not-open'], 0.3),
      ]),
    ).toEqual({ 'liquid-line-restricted': 0.7, 'valve-offset': 0.3 });
    for (const name of [...Object.values(causeNames), ...Object.values(supplyCauseNames)])
      expect(suspects('hunting', [explained(name, 1)])).not.toHaveProperty('something-else');
  });

  it('is gas as well as a transducer where the discharge pressure reads high, and neither pressure else', () => {
    const of = (sensor: string, bias: number) =>
      suspectsOf(sensorFinding('sensor-bias', sensor, { error: { bias, uncertainty: 2000 } }));
    expect(of('discharge-pressure', 30e3).map(({ cause }) => cause)).toEqual([
      'sensor-wrong',
      'gas-in-circuit',
    ]);
    for (const found of [of('discharge-pressure', -30e3), of('suction-pressure', 30e3)])
      expect(found.map(({ cause }) => cause)).not.toContain('gas-in-circuit');
  });

  it('has what is left, over a fiftieth, for something else', () => {
    const rest = (weight: number) =>
      suspects('hunting', [explained(causeNames['valve-friction'], weight)])['something-else'];
    expect(rest(0.7)).toBe(0.3);
    expect(rest(0.975)).toBe(0.025);
    expect(rest(0.985)).toBeUndefined();
    expect(rest(1)).toBeUndefined();
    // An explanation in words that are not known is something else.
    expect(
      suspects('hunting', [explained(causeNames['valve-friction'], 0.7), explained('the moon', 0.3)]),
    ).toEqual({
      'valve-friction': 0.7,
      'something-else': 0.3,
    });
  });

  it('is what the symptom itself says where nothing is explained (judgement, no source)', () => {
    expect(suspects('sensor-bias')).toEqual({ 'sensor-wrong': 0.95, 'something-else': 0.05 });
    expect(suspects('sensor-loose')).toEqual(suspects('sensor-bias'));
    expect(suspects('value-frozen')).toEqual(suspects('sensor-bias'));
    // What comes and goes may have another cause sooner than what stays.
    expect(suspects('value-jumping')).toEqual({ 'sensor-wrong': 0.9, 'something-else': 0.1 });
    expect(suspects('value-clipped')).toEqual(suspects('value-jumping'));
    expect(suspects('value-noisy')).toEqual({ 'measurement-noise': 0.9, 'something-else': 0.1 });
    expect(suspects('transducers-swapped')).toEqual({ 'sensors-swapped': 0.95, 'something-else': 0.05 });
    expect(suspects('gauge-taken-for-absolute')).toEqual({ 'registry-wrong': 0.95, 'something-else': 0.05 });
    expect(suspects('wrong-refrigerant')).toEqual({ 'registry-wrong': 0.8, 'something-else': 0.2 });
    expect(suspects('headroom')).toEqual({ 'setpoint-too-high': 0.9, 'something-else': 0.1 });
    expect(suspects('undercharge-suspected')).toEqual({
      'missing-refrigerant': 0.7,
      'sensor-wrong': 0.2,
      'something-else': 0.1,
    });
    expect(suspects('condenser-fouling-suspected')).toEqual({
      'condenser-fouled': 0.45,
      'condenser-flow-low': 0.2,
      'gas-in-circuit': 0.15,
      'sensor-wrong': 0.1,
      'something-else': 0.1,
    });
    expect(suspects('floodback-risk')).toEqual({
      'setpoint-under-steady-floor': 0.25,
      'valve-leaks-by': 0.15,
      'loop-tuned-too-hard': 0.1,
      'sensor-wrong': 0.1,
      'something-else': 0.4,
    });
    expect(suspects('starved')).toEqual({
      'missing-refrigerant': 0.35,
      'liquid-line-restricted': 0.25,
      'valve-too-small': 0.2,
      'something-else': 0.2,
    });
  });

  it('is something else where nothing is known of it', () => {
    expect(suspects('valve-wear')).toEqual({ 'something-else': 1 });
  });
});

describe('what follows from a cause', () => {
  it('is every figure of a reading that is wrong, but no other sensor’s fault', () => {
    for (const cause of ['sensor-wrong', 'sensors-swapped', 'registry-wrong'] as const) {
      for (const condition of [
        'hunting',
        'starved',
        'headroom',
        'undercharge-suspected',
        'departs-from-normal',
      ])
        expect(explains(cause, condition)).toBe(true);
      expect(explains(cause, 'value-frozen')).toBe(false);
    }
  });

  it('is flooding, wear and swings of a loop that swings, but no shortage of refrigerant', () => {
    for (const cause of [
      'loop-tuned-too-hard',
      'valve-friction',
      'valve-too-large',
      'load-swings',
    ] as const) {
      for (const condition of ['hunting', 'floodback-risk', 'valve-wear'])
        expect(explains(cause, condition)).toBe(true);
      expect(explains(cause, 'undercharge-suspected')).toBe(false);
    }
  });

  it('is starving and a valve at its limit of a shortage of liquid, and no flooding', () => {
    for (const cause of ['missing-refrigerant', 'liquid-line-restricted', 'valve-too-small'] as const) {
      expect(explains(cause, 'starved')).toBe(true);
      expect(explains(cause, 'valve-at-limit')).toBe(true);
      expect(explains(cause, 'floodback-risk')).toBe(false);
    }
  });

  it('is nothing of what is not known', () => {
    expect(explains('something-else', 'hunting')).toBe(false);
    for (const cause of causes) expect(explains(cause, 'no-such-condition')).toBe(false);
  });
});
