import { describe, expect, it } from 'vitest';
import { assessCircuit, assessSensors, type EvaporatorType } from '@coldrounds/core';
import { simulateCircuit } from '@coldrounds/simulator';
import { windowsOf } from './windows-of.js';

/** Three days of a healthy flooded machine, judged as the registry says what it is. */
function judged(seed: number, evaporator: EvaporatorType) {
  const { series, entry, unit } = simulateCircuit({ seed, days: 3, design: { evaporator: 'flooded' } });
  const { refrigerant } = unit;
  const windows = windowsOf(series, refrigerant, entry);
  const sensors = assessSensors({ refrigerant, circuit: entry, series }).findings;
  const { findings } = assessCircuit({ windows, refrigerant, circuit: entry, evaporator, sensors });
  return { sensors, conditions: findings.map(({ condition }) => condition) };
}

describe('a healthy machine with a flooded evaporator', () => {
  it.each([81, 82, 83])('yields no finding (seed %i)', (seed) => {
    const { sensors, conditions } = judged(seed, 'flooded');
    expect(sensors).toEqual([]);
    expect(conditions).toEqual([]);
  });

  it('would be taken for one that floods back, were it judged as dry-expansion', () => {
    expect(judged(81, 'dry-expansion').conditions).toContain('floodback-risk');
  });
});
