import type { FleetUnit } from '../storage/fleet.js';

export type { Fleet, FleetCircuit, FleetModule, FleetSite, FleetUnit } from '../storage/fleet.js';

/** `{siteKey}/{unitKey}`: how a unit is named outside the store. */
export const unitName = (unit: FleetUnit): string => `${unit.site.key}/${unit.key}`;
