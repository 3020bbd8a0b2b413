/**
 * What is known about each installation before any telemetry comes: the registry. The server loads it from a
 * JSON document of this shape; the analysis takes the parts it needs as arguments.
 */
export interface Registry {
  sites: SiteEntry[];
}

export interface SiteEntry {
  /** Topic level: lower-case letters, digits and hyphens. */
  key: string;
  name: string;
  altitude_m: number;
  latitude_deg: number;
  longitude_deg: number;
  /** IANA name, e.g. `Europe/Lisbon`. */
  timeZone: string;
  /** A word of the user's own by which the field study groups sites, e.g. `warm-humid`. */
  climate: string;
  /** A word of the user's own by which a portfolio is divided, e.g. `north`. */
  region?: string | undefined;
  /** ISO 4217, e.g. `EUR`: of the energy price. */
  currency?: string | undefined;
  /** What the site pays for a kWh of electricity, in `currency`. */
  energyPrice_per_kWh?: number | undefined;
  units: UnitEntry[];
}

/** Dry-expansion: superheat at the outlet is what the valve holds. In the other two the vapour leaves nearly saturated by design. */
export const evaporatorTypes = ['dry-expansion', 'flooded', 'falling-film'] as const;
export type EvaporatorType = (typeof evaporatorTypes)[number];

/** How a gateway sends: each value at its interval, or a value only when it has changed (in between it holds). */
export const reportingHabits = ['sampled', 'on-change'] as const;
export type ReportingHabit = (typeof reportingHabits)[number];

export interface UnitEntry {
  key: string;
  name: string;
  refrigerant: string;
  nominalCapacity_W: number;
  condenser: 'air' | 'water';
  /** Default `dry-expansion`. */
  evaporator?: EvaporatorType | undefined;
  /** The unit can run as a heat pump: its exchangers then change roles. Default false. */
  reversible?: boolean | undefined;
  /** Left out: learned from the telemetry. */
  reporting?: ReportingHabit | undefined;
  /** ISO date; null: not known. */
  commissionedOn: string | null;
  controllerFirmware: string;
  circuits: CircuitEntry[];
  modules: ModuleEntry[];
  /** Where its quantities come from if its gateway speaks Sparkplug B; left out or empty: SenML on the contract's topics. */
  sparkplug?: SparkplugPoint[] | undefined;
  /** What of it is not known and only assumed, by the names that a draft has for it (`registration`). */
  assumed?: string[] | undefined;
}

export const sparkplugStreams = ['circuits', 'water', 'condenser', 'backup'] as const;
export type SparkplugStream = (typeof sparkplugStreams)[number];

/** One metric of a Sparkplug B edge node or device, and which quantity of a unit it is. */
export interface SparkplugPoint {
  group: string;
  edge: string;
  /** Left out: a metric of the edge node itself. */
  device?: string | undefined;
  metric: string;
  /** Which part of the unit it belongs to. */
  stream: SparkplugStream;
  /** Of the circuit or the backup module; left out for the unit's own water and condenser. */
  number?: number | undefined;
  /** Name of the contract, e.g. `suction-pressure`. */
  quantity: string;
  /** Unit in which it is sent, e.g. `psi` or `°F`. */
  unit: string;
  /** What the number sent is multiplied by first: 0.1 where 63 stands for 6.3. Default 1. */
  scale?: number | undefined;
}

export interface SensorEntry {
  /** Full-scale span; for pressures in the transducer's own reference (gauge or absolute). */
  minimum: number;
  maximum: number;
  /** Half-width of the maker's tolerance, same unit as the value (Pa or K). */
  tolerance: number;
}

export interface PressureTransducerEntry extends SensorEntry {
  reference: 'absolute' | 'gauge';
}

export interface ValveEntry {
  /** Size, in words of the user's own, by which valves are compared: e.g. `kv-2.5`. */
  size: string;
  /** Flow coefficient fully open, m3/h at 1 bar with water (IEC 60534); 0: not known. */
  kv_m3_h: number;
  fullStroke_steps: number;
  rate_steps_s: number;
  /** 2 when two valves in parallel run from one controller, both motors at the same speed. */
  motors: 1 | 2;
  /** By the maker's data sheet: full strokes and changes of direction until it is worn. */
  ratedLife?: { fullStrokes?: number | undefined; reversals?: number | undefined } | undefined;
}

/** Facts of a circuit's compressors, together, from their data sheet. */
export interface CompressorEntry {
  kind?: 'scroll' | 'screw' | 'reciprocating' | 'rotary' | 'centrifugal' | undefined;
  /** Volume swept at full load and rated speed, m3/s; none for a centrifugal compressor. */
  displacement_m3_s?: number | undefined;
  ratedPower_W?: number | undefined;
}

export interface CircuitEntry {
  number: number;
  valve: ValveEntry;
  suctionPressure: PressureTransducerEntry;
  dischargePressure: PressureTransducerEntry;
  suctionTemperature: SensorEntry;
  dischargeTemperature: SensorEntry;
  liquidTemperature: SensorEntry;
  /** Superheat under which liquid may reach the compressor, K. Default 2. */
  floodbackLimit_K: number;
  /** Added to the steady floor before headroom is claimed, K. Default 1. */
  safetyMargin_K: number;
  /** Refrigerant in the circuit by its nameplate or service book, kg; left out where not known. */
  refrigerantCharge_kg?: number | undefined;
  compressor?: CompressorEntry | undefined;
  /** What of it is not known and only assumed, as in `UnitEntry`. */
  assumed?: string[] | undefined;
}

export const evaporatorOf = (unit: Pick<UnitEntry, 'evaporator'>): EvaporatorType =>
  unit.evaporator ?? 'dry-expansion';

export interface ModuleEntry {
  number: number;
  /** Circuits whose valves this module shuts; more than one where valves share a module. */
  circuits: number[];
  cellsInSeries: number;
  ratedVoltage_V: number;
  /** Voltage under which the converter stops driving the motor. */
  minimumVoltage_V: number;
  ratedCapacitance_F: number;
  ratedEsr_Ohm: number;
  /** Electrical power taken from the capacitor by ONE motor while it steps, overdrive and converter loss included. */
  drivePower_W: number;
  /** Steps driven beyond full stroke to be sure that the valve is shut, percent of full stroke. */
  overdrive_pct: number;
  installedOn: string;
  /** What of it is not known and only assumed, as in `UnitEntry`. */
  assumed?: string[] | undefined;
}

/** Start of the day (UTC) on which a unit was commissioned, seconds since the Unix epoch; NaN: not known. */
export const inServiceSince_s = ({ commissionedOn }: Pick<UnitEntry, 'commissionedOn'>): number =>
  commissionedOn === null ? NaN : Date.parse(commissionedOn) / 1000;

/** Start of the day (UTC) on which a module was installed, seconds since the Unix epoch; NaN for text that is not a date. */
export const installedAt_s = ({ installedOn }: Pick<ModuleEntry, 'installedOn'>): number =>
  Date.parse(`${installedOn}T00:00:00Z`) / 1000;
