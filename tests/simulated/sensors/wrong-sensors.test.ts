import { describe, expect, it } from 'vitest';
import { assessCircuit, assessSensors } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type Fault } from '@coldrounds/simulator';
import { windowsOf } from '../windows-of.js';

/** Superheat judged while a suction sensor is wrong, against the true superheat of the simulated circuit. */
const kinds = [
  { refrigerant: 'R134a', condenser: 'water' },
  { refrigerant: 'R410A', condenser: 'air' },
  { refrigerant: 'R1234ze(E)', condenser: 'water' },
  { refrigerant: 'R32', condenser: 'air' },
] as const;

function judged(input: CircuitCase) {
  const { series, truth, entry, unit } = simulateCircuit({ days: 2, ...input });
  const { refrigerant } = unit;
  const sensors = assessSensors({ refrigerant, circuit: entry, series }).findings;
  const windows = windowsOf(series, refrigerant, entry);
  const { findings } = assessCircuit({ windows, refrigerant, circuit: entry, sensors });
  let running = 0;
  let under = 0;
  truth.superheat_K.forEach((value, i) => {
    if (!(series.compressorLoad_pct[i]! > 1)) return;
    running++;
    if (value < entry.floodbackLimit_K) under++;
  });
  const floodback = findings.find(({ condition }) => condition === 'floodback-risk');
  return { sensors, findings, floodback, trulyUnder: under / running };
}

describe.each(kinds)('$refrigerant, $condenser-cooled, with a suction sensor that reads wrong', (kind) => {
  const biased = (bias: number, seed: number) =>
    judged({ seed, ...kind, faults: [{ kind: 'sensor-bias', sensor: 'suction-temperature', bias }] });

  it.each([
    [5, 71],
    [4, 72],
    [3, 73],
    [-3, 74],
    [-5, 75],
  ])('by %d K: floodback is told where true superheat is under its limit, and nowhere else', (bias, seed) => {
    const { sensors, floodback, trulyUnder } = biased(bias, seed);
    expect(sensors.map(({ condition }) => condition)).toEqual(['sensor-bias']);
    if (trulyUnder > 0.1) expect(floodback, `under for ${trulyUnder}`).toBeDefined();
    if (trulyUnder < 0.01) expect(floodback, `under for ${trulyUnder}`).toBeUndefined();
  });

  it('by noise: no floodback is told while true superheat is hardly ever under its limit', () => {
    const faults: Fault[] = [{ kind: 'value-noisy', sensor: 'suction-pressure', spread: 0.2e5 }];
    const { sensors, floodback, trulyUnder } = judged({ seed: 76, ...kind, faults });
    expect(sensors.map(({ condition }) => condition)).toEqual(['value-noisy']);
    expect(trulyUnder).toBeLessThan(0.01);
    expect(floodback).toBeUndefined();
  });
});
