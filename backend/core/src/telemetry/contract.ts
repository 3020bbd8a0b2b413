/**
 * The telemetry contract: which names a pack may carry on which topic, in which SenML unit, and the range
 * outside which no sensor of the kind can read (a value beyond it is kept as unread, never stored).
 *
 * Payloads are SenML JSON (RFC 8428); units are those of the SenML registry (RFC 8428 section 12.1, RFC 8798).
 */
export const topicRoot = 'coldrounds/1';

export type Stream = 'circuits' | 'water' | 'condenser' | 'backup' | 'closing' | 'presence';

/** One name of the contract. `unit` is the unit in which the value is kept after conversion. */
export interface MetricDefinition {
  name: string;
  /** Column of the store, with its unit, and (camel-cased by its owner) the name in code. */
  column: string;
  unit: 'Pa' | 'K' | '%' | 'm3/s' | 'W' | 'V' | 'A' | 'bool';
  minimum: number;
  maximum: number;
}

/** Pressures are absolute here; a gauge transducer is converted before the range is compared. */
export const circuitMetrics: readonly MetricDefinition[] = [
  { name: 'suction-pressure', column: 'suction_pressure_pa', unit: 'Pa', minimum: 1e3, maximum: 1.5e7 },
  {
    name: 'suction-temperature',
    column: 'suction_temperature_k',
    unit: 'K',
    minimum: 193.15,
    maximum: 423.15,
  },
  { name: 'valve-opening', column: 'valve_opening_pct', unit: '%', minimum: 0, maximum: 100 },
  { name: 'valve-opening-2', column: 'valve_opening_2_pct', unit: '%', minimum: 0, maximum: 100 },
  { name: 'discharge-pressure', column: 'discharge_pressure_pa', unit: 'Pa', minimum: 1e3, maximum: 1.5e7 },
  {
    name: 'discharge-temperature',
    column: 'discharge_temperature_k',
    unit: 'K',
    minimum: 193.15,
    maximum: 473.15,
  },
  { name: 'liquid-temperature', column: 'liquid_temperature_k', unit: 'K', minimum: 193.15, maximum: 423.15 },
  { name: 'superheat-setpoint', column: 'superheat_setpoint_k', unit: 'K', minimum: 0, maximum: 60 },
  { name: 'compressor-load', column: 'compressor_load_pct', unit: '%', minimum: 0, maximum: 120 },
  { name: 'compressor-power', column: 'compressor_power_w', unit: 'W', minimum: 0, maximum: 2e7 },
];

export const waterMetrics: readonly MetricDefinition[] = [
  {
    name: 'entering-temperature',
    column: 'entering_temperature_k',
    unit: 'K',
    minimum: 223.15,
    maximum: 373.15,
  },
  {
    name: 'leaving-temperature',
    column: 'leaving_temperature_k',
    unit: 'K',
    minimum: 223.15,
    maximum: 373.15,
  },
  { name: 'flow', column: 'flow_m3_s', unit: 'm3/s', minimum: 0, maximum: 10 },
  {
    name: 'ambient-temperature',
    column: 'ambient_temperature_k',
    unit: 'K',
    minimum: 213.15,
    maximum: 343.15,
  },
];

/** The condenser's side: water where it is water-cooled, air at the coil where it is air-cooled. */
export const condenserMetrics: readonly MetricDefinition[] = [
  {
    name: 'entering-temperature',
    column: 'entering_temperature_k',
    unit: 'K',
    minimum: 213.15,
    maximum: 373.15,
  },
  {
    name: 'leaving-temperature',
    column: 'leaving_temperature_k',
    unit: 'K',
    minimum: 213.15,
    maximum: 373.15,
  },
  // Air through a large coil is some hundred cubic metres a second.
  { name: 'flow', column: 'flow_m3_s', unit: 'm3/s', minimum: 0, maximum: 1000 },
  { name: 'fan-speed', column: 'fan_speed_pct', unit: '%', minimum: 0, maximum: 120 },
];

export const backupMetrics: readonly MetricDefinition[] = [
  { name: 'voltage', column: 'voltage_v', unit: 'V', minimum: 0, maximum: 1000 },
  { name: 'current', column: 'current_a', unit: 'A', minimum: -1000, maximum: 1000 },
  { name: 'temperature', column: 'temperature_k', unit: 'K', minimum: 213.15, maximum: 398.15 },
  { name: 'mains', column: 'mains', unit: 'bool', minimum: 0, maximum: 1 },
  { name: 'health', column: 'health', unit: 'bool', minimum: 0, maximum: 1 },
];

/** Samples of one closing; current is positive while the module delivers. */
export const closingMetrics: readonly MetricDefinition[] = [
  { name: 'voltage', column: 'voltage_v', unit: 'V', minimum: 0, maximum: 1000 },
  { name: 'current', column: 'current_a', unit: 'A', minimum: -1000, maximum: 1000 },
  { name: 'valve-opening', column: 'valve_opening_pct', unit: '%', minimum: 0, maximum: 100 },
];

/** Whether a gateway is connected, retained; its will message says `false`. */
export const presenceMetrics: readonly MetricDefinition[] = [
  { name: 'online', column: 'online', unit: 'bool', minimum: 0, maximum: 1 },
];
