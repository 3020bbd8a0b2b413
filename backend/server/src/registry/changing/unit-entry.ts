import type { UnitEntry } from '@coldrounds/core';
import type { FleetUnit } from '../../storage/fleet.js';

/** A unit of the store as an entry of the registry. */
export const entryOf = (unit: FleetUnit): UnitEntry => ({
  key: unit.key,
  name: unit.name,
  refrigerant: unit.refrigerant,
  nominalCapacity_W: unit.nominalCapacity_W,
  condenser: unit.condenser,
  evaporator: unit.evaporator,
  reversible: unit.reversible,
  reporting: unit.reporting ?? undefined,
  commissionedOn: unit.commissionedOn,
  controllerFirmware: unit.controllerFirmware,
  circuits: unit.circuits.map(({ entry }) => entry),
  modules: unit.modules.map(({ entry }) => entry),
  sparkplug: unit.sparkplug?.length ? unit.sparkplug : undefined,
  assumed: unit.assumed ?? [],
});
