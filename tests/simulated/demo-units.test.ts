import { readFile } from 'node:fs/promises';
import { describe, expect, it } from 'vitest';
import type { Registry, UnitEntry } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase, type Fault } from '@coldrounds/simulator';
import type { Scenario, UnitScenario } from '../../simulator/src/scenario.js';
import { findingsOf } from '../score/assess-unit.js';
import { inWords } from '../score/site-units.js';

/** The units of the demo that real sites have and that once were told wrong: their habits must not be findings. */
const read = async <T>(name: string) =>
  JSON.parse(await readFile(new URL(`../../seeds/${name}`, import.meta.url), 'utf8')) as T;
const registry = await read<Registry>('fleet.json');
const scenario = await read<Scenario>('scenario.json');

interface DemoUnit {
  name: string;
  entry: UnitEntry;
  own: UnitScenario;
}
const units: DemoUnit[] = registry.sites.flatMap((site) =>
  site.units.map((entry) => {
    const name = `${site.key}/${entry.key}`;
    return { name, entry, own: scenario.units[name]! };
  }),
);

/** A unit of the demo over three days, with all of its faults there from the beginning, or none. */
function simulated({ entry, own }: DemoUnit, faults: Fault[]) {
  const flooded = (entry.evaporator ?? 'dry-expansion') !== 'dry-expansion';
  const input: CircuitCase = {
    seed: 6400,
    days: 3,
    refrigerant: entry.refrigerant,
    capacity_W: entry.nominalCapacity_W / entry.circuits.length,
    condenser: entry.condenser,
    circuits: entry.circuits.length === 1 ? 1 : 2,
    capacityControl: own.capacityControl,
    stand: own.stand ?? null,
    ...(own.habits ? { habits: own.habits } : {}),
    ...(own.sending ? { sending: own.sending } : {}),
    design: { ...own.design, ...(flooded ? { evaporator: 'flooded' as const } : {}) },
    faults,
  };
  return simulateCircuit(input);
}
const said = (unit: DemoUnit, faults: Fault[] = []) =>
  findingsOf(simulated(unit, faults)).map((finding) => `${unit.name}: ${inWords(finding)}`);

describe('in the demo', () => {
  it('a chiller with a flooded evaporator is quiet, and its superheat is so too while less water flows', () => {
    const flooded = units.filter(({ entry }) => entry.evaporator === 'flooded');
    expect(flooded).not.toEqual([]);
    for (const unit of flooded) {
      expect(said(unit)).toEqual([]);
      const faults = (unit.own.faults ?? []).map((fault) => ({ ...fault, sinceDaysAgo: 100 }));
      expect(said(unit, faults)).toEqual([]);
    }
  });

  it('a unit whose gateway sends values when they change is quiet', () => {
    const onChange = units.filter(({ own }) => own.sending?.onChange);
    expect(onChange).not.toEqual([]);
    for (const unit of onChange) expect(said(unit)).toEqual([]);
  });
});
