import { describe, expect, it } from 'vitest';
import { assessSensors } from '@coldrounds/core';
import { simulateCircuit, type Fault } from '@coldrounds/simulator';

/** Machines that run day and night but for six minutes: no long stop ever tells of their registry. */
const kinds = [
  { refrigerant: 'R134a', condenser: 'water' },
  { refrigerant: 'R410A', condenser: 'air' },
  { refrigerant: 'R1234ze(E)', condenser: 'water' },
  { refrigerant: 'R32', condenser: 'air' },
  { refrigerant: 'R454B', condenser: 'air' },
  { refrigerant: 'R407C', condenser: 'water' },
] as const;

function assessed(kind: (typeof kinds)[number], seed: number, faults: Fault[], pumpDown = false) {
  const { series, entry, unit } = simulateCircuit({
    seed,
    days: 2,
    ...kind,
    stand: null,
    selfTest: false,
    faults,
    habits: { cycling: { runMinutes: 1434, stopMinutes: 6 }, pumpDown },
  });
  return assessSensors({ refrigerant: unit.refrigerant, circuit: entry, series });
}

describe('a machine that stops for six minutes a day, within two days,', () => {
  it.each(kinds)('with $refrigerant as registered, gives no finding, with pump-down or without', (kind) => {
    for (const pumpDown of [false, true]) {
      const { findings, standstills } = assessed(kind, 61, [], pumpDown);
      expect(standstills).toEqual([]);
      expect(findings.map(({ condition }) => condition)).toEqual([]);
    }
  });

  it.each(kinds)('with $refrigerant and gauge registered as absolute, is found', (kind) => {
    const { findings } = assessed(kind, 62, [
      { kind: 'gauge-taken-for-absolute', sensor: 'suction-pressure' },
    ]);
    expect(findings.map(({ condition }) => condition)).toEqual(['gauge-taken-for-absolute']);
  });

  it.each([
    [0, 'R1234ze(E)'],
    [2, 'R134a'],
    [5, 'R410A'],
  ])('case %i with %s in it is found, unless a wrong reference fits as well', (index, actual) => {
    const { findings } = assessed(kinds[index]!, 63, [{ kind: 'wrong-refrigerant', actual }]);
    expect(findings).toHaveLength(1);
    const [found] = findings;
    const said = [found!.headline.text, ...found!.explanations.map(({ cause }) => cause)].join(' ');
    expect(said).toContain(actual);
  });
});
