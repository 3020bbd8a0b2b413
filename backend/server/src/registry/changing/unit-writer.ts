import type { UnitEntry } from '@coldrounds/core';
import type { FleetUnit } from '../../storage/fleet.js';
import type { Queryable } from '../../storage/index.js';
import type { RegistrationRepository } from '../../storage/registry/registration.repository.js';
import type { ChangedCircuit, FactKeeper } from '../facts/fact-keeper.js';
import { factsOf } from '../facts/timeline.js';

export interface UnitToWrite {
  site: { id: number; altitude_m: number };
  unit: UnitEntry;
  /** As registered so far; null: it is new. */
  before: FleetUnit | null;
}

/** Circuits of a unit that were there before, with what held and what holds now. */
export function changedCircuits({ site, unit, before }: UnitToWrite): ChangedCircuit[] {
  if (before === null) return [];
  return before.circuits.flatMap((circuit) => {
    const entry = unit.circuits.find(({ number }) => number === circuit.number);
    if (entry === undefined) return [];
    const after = {
      refrigerant: unit.refrigerant,
      evaporator: unit.evaporator ?? ('dry-expansion' as const),
      reversible: unit.reversible ?? false,
      reporting: unit.reporting ?? null,
      altitude_m: site.altitude_m,
      entry,
    };
    return [{ circuitId: circuit.id, before: factsOf(before, circuit), after }];
  });
}

/** All circuits of units whose site is at another height than it was. */
export const atHeight = (units: readonly FleetUnit[], altitude_m: number): ChangedCircuit[] =>
  units.flatMap((unit) =>
    unit.circuits.map((circuit) => ({
      circuitId: circuit.id,
      before: factsOf(unit, circuit),
      after: { ...factsOf(unit, circuit), altitude_m },
    })),
  );

/** Writes units with what follows from their changes, in the transaction of the caller. Gives their ids in order. */
export async function writeUnits(
  client: Queryable,
  parts: { registration: RegistrationRepository; factKeeper: FactKeeper },
  units: readonly UnitToWrite[],
  holdsFrom_s: number | null,
): Promise<number[]> {
  const ids = await parts.registration.writeUnits(
    client,
    units.map(({ site, unit }) => ({ siteId: site.id, unit })),
  );
  await parts.factKeeper.keep(client, units.flatMap(changedCircuits), holdsFrom_s);
  return ids;
}
