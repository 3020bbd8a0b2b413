/**
 * One circuit's telemetry as columns, in time order, SI inside. A missing value is `NaN`.
 * Superheat is not a column: it is computed from pressure and temperature by who needs it.
 */
export interface CircuitSeries {
  /** Seconds since the Unix epoch, strictly increasing; spacing may be uneven. */
  time_s: Float64Array;
  suctionPressure_Pa: Float64Array;
  suctionTemperature_K: Float64Array;
  valveOpening_pct: Float64Array;
  dischargePressure_Pa: Float64Array;
  dischargeTemperature_K: Float64Array;
  liquidTemperature_K: Float64Array;
  superheatSetpoint_K: Float64Array;
  compressorLoad_pct: Float64Array;
  /** The unit's water and ambient values, carried to this circuit's times (last known value, NaN when older than 5 min). */
  enteringWaterTemperature_K: Float64Array;
  leavingWaterTemperature_K: Float64Array;
  waterFlow_m3_s: Float64Array;
  ambientTemperature_K: Float64Array;
  /** Condenser side of the unit, carried likewise: its water, or the air at the coil where it is air-cooled. */
  condenserEnteringTemperature_K: Float64Array;
  condenserLeavingTemperature_K: Float64Array;
  condenserFlow_m3_s: Float64Array;
  condenserFanSpeed_pct: Float64Array;
  /** Electrical power of the circuit's compressors. */
  compressorPower_W: Float64Array;
}

export const circuitSeriesColumns = [
  'suctionPressure_Pa',
  'suctionTemperature_K',
  'valveOpening_pct',
  'dischargePressure_Pa',
  'dischargeTemperature_K',
  'liquidTemperature_K',
  'superheatSetpoint_K',
  'compressorLoad_pct',
  'enteringWaterTemperature_K',
  'leavingWaterTemperature_K',
  'waterFlow_m3_s',
  'ambientTemperature_K',
  'condenserEnteringTemperature_K',
  'condenserLeavingTemperature_K',
  'condenserFlow_m3_s',
  'condenserFanSpeed_pct',
  'compressorPower_W',
] as const;

/** A series of `length` samples in which every value but the time is missing. */
export function emptyCircuitSeries(length: number): CircuitSeries {
  const columns = circuitSeriesColumns.map((name) => [name, new Float64Array(length).fill(NaN)]);
  return { time_s: new Float64Array(length), ...Object.fromEntries(columns) } as CircuitSeries;
}
