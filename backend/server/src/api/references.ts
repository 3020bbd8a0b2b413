import { refrigerantFacts } from '@coldrounds/core';
import type { FleetSite, FleetUnit } from '../fleet/fleet.js';
import type { SiteReference, UnitReference } from './ports.js';

export const siteReference = ({ key, name, timeZone, climate }: FleetSite): SiteReference => ({
  key,
  name,
  timeZone,
  climate,
});

export const unitReference = (unit: FleetUnit): UnitReference => ({
  key: unit.key,
  name: unit.name,
  refrigerant: unit.refrigerant,
  safetyClass: refrigerantFacts(unit.refrigerant).safetyClass,
  nominalCapacity_W: unit.nominalCapacity_W,
  controllerFirmware: unit.controllerFirmware,
});

export const iso = (time_s: number): string => new Date(time_s * 1000).toISOString();
