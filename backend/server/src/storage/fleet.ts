import type {
  CircuitEntry,
  EvaporatorType,
  ModuleEntry,
  ReportingHabit,
  SparkplugPoint,
} from '@coldrounds/core';

/** The registry as the store holds it, with the store's ids. */
export interface FleetSite {
  id: number;
  key: string;
  name: string;
  altitude_m: number;
  timeZone: string;
  climate: string;
  region: string | null;
  currency: string | null;
  energyPrice_per_kWh: number | null;
}

export interface FleetCircuit {
  id: number;
  number: number;
  entry: CircuitEntry;
}

export interface FleetModule {
  id: number;
  number: number;
  entry: ModuleEntry;
}

export interface FleetUnit {
  id: number;
  site: FleetSite;
  key: string;
  name: string;
  refrigerant: string;
  nominalCapacity_W: number;
  condenser: 'air' | 'water';
  evaporator: EvaporatorType;
  reversible: boolean;
  /** Null: learned from the telemetry. */
  reporting: ReportingHabit | null;
  /** Null: not known. */
  commissionedOn: string | null;
  controllerFirmware: string;
  /** Last presence message; null: none came yet. */
  online: boolean | null;
  onlineSince: Date | null;
  circuits: FleetCircuit[];
  modules: FleetModule[];
  /** What of it is not known and only assumed. */
  assumed?: string[];
  /** Where its quantities come from if its gateway speaks Sparkplug B. */
  sparkplug?: SparkplugPoint[];
  /** When its first reading was stored; null or left out: never. */
  heardAt?: Date | null;
  /** Judged no more since then; null or left out: in service. */
  retiredAt?: Date | null;
}

/** What readings of a circuit are converted and judged by. */
export interface CircuitFacts {
  refrigerant: string;
  evaporator: EvaporatorType;
  reversible: boolean;
  reporting: ReportingHabit | null;
  altitude_m: number;
  entry: CircuitEntry;
}

/** What held of a circuit over time, oldest first: each until its end; the last, without end, holds now. */
export type FactsTimeline = { until_s: number | null; facts: CircuitFacts }[];

export interface Fleet {
  sites: FleetSite[];
  /** In the order of site and unit keys. */
  units: FleetUnit[];
}
