import { describe, expect, it } from 'vitest';
import { assessCircuit } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase } from '@coldrounds/simulator';
import { windowsOf } from './windows-of.js';

/** Faults of charge, liquid line and condenser on simulated circuits: what is found, and what is not. */
const kinds = [
  { refrigerant: 'R134a', condenser: 'water' },
  { refrigerant: 'R454B', condenser: 'air' },
  { refrigerant: 'R1234ze(E)', condenser: 'water' },
  { refrigerant: 'R410A', condenser: 'air' },
] as const;
/** Conductance lost that lets it condense some 2 K higher at these loads: water comes closer to it than air. */
const fouled = { water: 0.45, air: 0.35 };

function findingsOf(input: CircuitCase) {
  const { series, neighbours, unit } = simulateCircuit({ days: 3, ...input });
  const [own, ...others] = [series, ...neighbours].map((one, i) =>
    windowsOf(one, unit.refrigerant, unit.circuits[i]!),
  );
  const circuit = unit.circuits[0]!;
  return assessCircuit({ windows: own!, refrigerant: unit.refrigerant, circuit, neighbours: others })
    .findings;
}

describe.each(kinds)('a simulated $refrigerant circuit, $condenser-cooled,', (kind) => {
  const conditions = (input: Partial<CircuitCase>) =>
    findingsOf({ seed: 5100, ...kind, ...input }).map(({ condition }) => condition);

  it('in health gives no finding, nor does either of two in health', () => {
    expect(conditions({})).toEqual([]);
    expect(conditions({ circuits: 2 })).toEqual([]);
  });

  it('short of 27 % of its refrigerant is suspected of it', () => {
    expect(conditions({ faults: [{ kind: 'undercharge', share: 0.27 }] })).toContain('undercharge-suspected');
  });

  it('short of 19 % is watched, no more', () => {
    const list = findingsOf({ seed: 5100, ...kind, faults: [{ kind: 'undercharge', share: 0.19 }] });
    expect(list.map(({ condition, urgency }) => [condition, urgency])).toEqual([
      ['undercharge-suspected', 'watch'],
    ]);
  });

  it('with a liquid line restricted by 62 % is not taken for short of refrigerant', () => {
    const faults: CircuitCase['faults'] = [{ kind: 'liquid-line-restriction', share: 0.62 }];
    const list = findingsOf({ seed: 5100, ...kind, faults });
    expect(list.map(({ condition }) => condition)).toContain('valve-at-limit');
    expect(list.map(({ condition }) => condition)).not.toContain('undercharge-suspected');
    const { explanations } = list.find(({ condition }) => condition === 'valve-at-limit')!;
    expect(explanations[0]!.cause).toContain('restricted liquid line');
  });

  it('with its condenser fouled until it condenses two kelvins higher is told from its sound neighbour', () => {
    const faults: CircuitCase['faults'] = [
      { kind: 'condenser-fouling', share: fouled[kind.condenser], circuit: 1 },
    ];
    expect(conditions({ circuits: 2, faults })).toEqual(['condenser-fouling-suspected']);
  });
});
