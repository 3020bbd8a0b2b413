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
  /** Free word by which the field study groups sites, e.g. `warm-humid`. */
  climate: string;
  units: UnitEntry[];
}

export interface UnitEntry {
  key: string;
  name: string;
  refrigerant: string;
  nominalCapacity_W: number;
  condenser: 'air' | 'water';
  /** ISO date. */
  commissionedOn: string;
  controllerFirmware: string;
  circuits: CircuitEntry[];
  modules: ModuleEntry[];
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
  /** Free size word for cohorts, our own: e.g. `kv-2.5`. */
  size: string;
  /** Flow coefficient fully open, m3/h at 1 bar with water (IEC 60534). */
  kv_m3_h: number;
  fullStroke_steps: number;
  rate_steps_s: number;
  /** 2 when two valves in parallel run from one controller, both motors at the same speed. */
  motors: 1 | 2;
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
}

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
}

/** Start of the day (UTC) on which a module was installed, seconds since the Unix epoch; NaN for what is no date. */
export const installedAt_s = ({ installedOn }: Pick<ModuleEntry, 'installedOn'>): number =>
  Date.parse(`${installedOn}T00:00:00Z`) / 1000;
