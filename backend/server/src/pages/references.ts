import { refrigerantFacts, standardAtmospherePressure_Pa } from '@coldrounds/core';
import type { FleetSite, FleetUnit } from '../registry/fleet.js';

export interface SiteReference {
  key: string;
  name: string;
  timeZone: string;
  climate: string;
  /** Pressure of the air at the site's height (standard atmosphere): what gauges read from. */
  ambientPressure_Pa: number;
}

export interface UnitReference {
  key: string;
  name: string;
  refrigerant: string;
  safetyClass: string | null;
  nominalCapacity_W: number;
  controllerFirmware: string;
}

export const siteReference = ({ key, name, timeZone, climate, altitude_m }: FleetSite): SiteReference => ({
  key,
  name,
  timeZone,
  climate,
  ambientPressure_Pa: standardAtmospherePressure_Pa(altitude_m),
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
