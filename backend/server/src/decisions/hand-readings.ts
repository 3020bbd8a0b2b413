import type { CircuitEntry, CircuitSeries, SensorEntry } from '@coldrounds/core';
import type { ComparedReading, HandQuantity, HandReading } from './decision.js';

const columns: Record<HandQuantity, { series: keyof CircuitSeries; entry: keyof CircuitEntry }> = {
  'suction-pressure': { series: 'suctionPressure_Pa', entry: 'suctionPressure' },
  'discharge-pressure': { series: 'dischargePressure_Pa', entry: 'dischargePressure' },
  'suction-temperature': { series: 'suctionTemperature_K', entry: 'suctionTemperature' },
  'discharge-temperature': { series: 'dischargeTemperature_K', entry: 'dischargeTemperature' },
  'liquid-temperature': { series: 'liquidTemperature_K', entry: 'liquidTemperature' },
};

export const minute_s = 60;

/**
 * Half-width of what a service instrument in use may be wrong by: 1 % of the reading and at least 0.05 bar for a gauge,
 * 0.5 K for a clamp-on thermometer. Common practice, no source.
 */
const instrumentTolerance = (quantity: HandQuantity, value: number): number =>
  quantity.endsWith('pressure') ? Math.max(5_000, 0.01 * value) : 0.5;

/** Standard uncertainty of a value known within plus or minus `halfWidth` (JCGM 100:2008, 4.3.7). */
const rectangular = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/**
 * Puts a value read by hand beside the telemetry of that minute. The difference counts when it exceeds its expanded
 * uncertainty (coverage factor 2, JCGM 100:2008, 6.2) from the sensor's tolerance, the instrument's, and how much the
 * samples of that minute differ among themselves. Then one of the two is wrong: the sensor, where the instrument is right.
 *
 * @param series the circuit's samples around the reading
 * @param entry what the registry says of the circuit; its tolerances count for the sensors
 */
export function compareReading(
  reading: HandReading,
  series: CircuitSeries,
  entry: CircuitEntry,
): ComparedReading {
  const { series: column, entry: sensorName } = columns[reading.quantity];
  const values = series[column] as ArrayLike<number>;
  const samples: number[] = [];
  for (let i = 0; i < series.time_s.length; i++)
    if (Math.abs(series.time_s[i] - reading.at_s) <= minute_s && Number.isFinite(values[i]))
      samples.push(values[i]);
  const sensor = entry[sensorName] as SensorEntry | undefined;
  if (samples.length === 0)
    return {
      ...reading,
      ...{ telemetry: null, samples: 0, difference: null, uncertainty: null, verdict: 'no-telemetry' },
    };
  const telemetry = samples.reduce((sum, value) => sum + value, 0) / samples.length;
  const variance =
    samples.length < 2
      ? 0
      : samples.reduce((sum, value) => sum + (value - telemetry) ** 2, 0) / (samples.length - 1);
  const standard = Math.sqrt(
    rectangular(sensor?.tolerance ?? 0) ** 2 +
      rectangular(instrumentTolerance(reading.quantity, reading.value)) ** 2 +
      variance,
  );
  const difference = telemetry - reading.value;
  const uncertainty = 2 * standard;
  const verdict = Math.abs(difference) > uncertainty ? 'differs' : 'agrees';
  return { ...reading, telemetry, samples: samples.length, difference, uncertainty, verdict };
}
