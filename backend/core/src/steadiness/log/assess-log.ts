import { canonicalRefrigerantName } from '../../refrigerants/index.js';
import { indexReadings, type IndexReading } from '../../hunting/detection/indices/index-readings.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { CircuitEntry, EvaporatorType, PressureTransducerEntry } from '../../telemetry/registry.js';
import type { Finding } from '../../diagnosis/finding.js';
import { withWhatIsNotJudged } from '../../diagnosis/not-judged.js';
import { prepareSeries } from '../../habits/prepare-series.js';
import { assessSensors } from '../../sensors/assess-sensors.js';
import type { WaterEvidence } from '../../sensors/findings/water-findings.js';
import { assessCircuit } from '../assess-circuit.js';
import type { CircuitAssessment } from '../circuit-assessment.js';
import { judgeWindow } from '../windows/judge-window.js';
import { doubtfulUnits } from '../../log/doubtful-units.js';
import { readLogColumns, type LogOptions, type LogReading, type LogTable } from '../../log/log-columns.js';
import { window_s, type WindowJudgement } from '../windows/window-judgement.js';

export interface AssessLogOptions {
  /** Added to gauge pressures; 101325 Pa if not given. */
  atmosphere_Pa?: number;
  floodbackLimit_K?: number;
  safetyMargin_K?: number;
  /** Half-widths of the sensors' tolerances. */
  pressureTolerance_Pa?: number;
  temperatureTolerance_K?: number;
  fullStroke_steps?: number;
  /** `dry-expansion` if not given. */
  evaporator?: EvaporatorType;
}

export interface LogAssessment {
  refrigerant: string;
  from_s: number | null;
  to_s: number | null;
  samples: number;
  columns: LogReading['read'];
  warnings: string[];
  /** The log's windows of two hours from its own start, each with the indices' meaning where it oscillates. */
  windows: (WindowJudgement & { readings: IndexReading[] })[];
  assessment: CircuitAssessment;
  /** What the log shows of its own sensors and of the settings it was read with; what it shows wrong is corrected or not judged. */
  sensors: { findings: Finding[]; saturationAgainstWater: WaterEvidence | null };
  /** What was taken where the log cannot say. */
  assumed: Required<Omit<AssessLogOptions, 'atmosphere_Pa'>> & { atmosphere_Pa: number };
}

/**
 * One circuit's log, judged with no server: the columns by name, the refrigerant, and settings that a log does not carry,
 * and `reading` for how it writes them. Windows begin with the log. Missing columns and too little data are warnings in plain sentences.
 * @throws SeriesError (no time), UnknownRefrigerantError.
 */
export function assessLog(
  table: LogTable,
  refrigerant: string,
  options: AssessLogOptions = {},
  reading: LogOptions = {},
): LogAssessment {
  const assumed = {
    atmosphere_Pa: 101_325,
    floodbackLimit_K: 2,
    safetyMargin_K: 1,
    pressureTolerance_Pa: 8000,
    temperatureTolerance_K: 0.5,
    fullStroke_steps: 2600,
    evaporator: 'dry-expansion' as const,
    ...options,
  };
  const name = canonicalRefrigerantName(refrigerant);
  const { series, gauge, read, warnings } = readLogColumns(table, assumed.atmosphere_Pa, reading);
  const circuit = circuitOf(assumed, gauge);
  // How the log was sampled is learned from all of it, not from two hours at a time.
  const { series: prepared, habits } = prepareSeries(series);
  const sensors = assessSensors({
    refrigerant: name,
    circuit,
    series,
    habits,
    atmosphere_Pa: assumed.atmosphere_Pa,
  });
  const windows = splitWindows(prepared).map((part) =>
    judgeWindow({ series: part, refrigerant: name, circuit, habits }),
  );
  const assessment = assessCircuit({
    windows,
    refrigerant: name,
    circuit,
    evaporator: assumed.evaporator,
    sensors: sensors.findings,
  });
  return {
    refrigerant: name,
    from_s: series.time_s.length > 0 ? series.time_s[0] : null,
    to_s: series.time_s.length > 0 ? series.time_s[series.time_s.length - 1] : null,
    samples: series.time_s.length,
    columns: read,
    warnings: [
      ...warnings,
      ...doubtfulUnits(series, name, assumed.atmosphere_Pa),
      ...missing(series),
      ...tooLittle(series, windows, assessment),
    ],
    windows: windows.map((window) => ({
      ...window,
      readings: indexReadings(window.oscillation.indices),
    })),
    assessment,
    sensors: {
      findings: withWhatIsNotJudged(sensors.findings),
      saturationAgainstWater: sensors.water,
    },
    assumed,
  };
}

function splitWindows(series: CircuitSeries): CircuitSeries[] {
  const n = series.time_s.length;
  const parts: CircuitSeries[] = [];
  for (let from = 0; from < n;) {
    const start = series.time_s[from];
    // A rest of under half an hour goes with the window before it.
    const length = series.time_s[n - 1] - start < 1.25 * window_s ? Infinity : window_s;
    let to = from;
    while (to < n && series.time_s[to] < start + length) to++;
    parts.push(
      Object.fromEntries(
        Object.entries(series).map(([name, column]) => [name, (column as Float64Array).slice(from, to)]),
      ) as unknown as CircuitSeries,
    );
    from = to;
  }
  return parts;
}

function circuitOf(given: Required<AssessLogOptions>, gauge: readonly string[]): CircuitEntry {
  const temperature = { minimum: 193.15, maximum: 473.15, tolerance: given.temperatureTolerance_K };
  const pressure = (column: string): PressureTransducerEntry => ({
    minimum: 1e3,
    maximum: 1.5e7,
    tolerance: given.pressureTolerance_Pa,
    reference: gauge.includes(column) ? 'gauge' : 'absolute',
  });
  return {
    number: 1,
    valve: {
      size: 'not given',
      kv_m3_h: 0,
      fullStroke_steps: given.fullStroke_steps,
      rate_steps_s: 0,
      motors: 1,
    },
    suctionPressure: pressure('suctionPressure_Pa'),
    dischargePressure: pressure('dischargePressure_Pa'),
    suctionTemperature: temperature,
    dischargeTemperature: temperature,
    liquidTemperature: temperature,
    floodbackLimit_K: given.floodbackLimit_K,
    safetyMargin_K: given.safetyMargin_K,
  };
}

function missing(series: CircuitSeries): string[] {
  const sentences: string[] = [];
  const has = (column: Float64Array) => column.some(Number.isFinite);
  if (!has(series.suctionPressure_Pa)) sentences.push('No suction pressure: superheat cannot be computed.');
  if (!has(series.suctionTemperature_K))
    sentences.push('No suction temperature: superheat cannot be computed.');
  if (!has(series.valveOpening_pct))
    sentences.push('No valve opening: wear is unknown, and the origin of an oscillation cannot be told.');
  if (!has(series.compressorLoad_pct))
    sentences.push(
      'No compressor load: running is told from the valve and the pressures, and a swinging load cannot be seen.',
    );
  if (!has(series.superheatSetpoint_K))
    sentences.push('No superheat setpoint: the distance from it is unknown, and starved means over 15 K.');
  return sentences;
}

function tooLittle(
  series: CircuitSeries,
  windows: readonly WindowJudgement[],
  assessment: CircuitAssessment,
): string[] {
  const sentences: string[] = [];
  if (series.time_s.length === 0) return ['The log has no rows.'];
  if (series.suctionPressure_Pa.some(Number.isFinite) && windows.every((window) => window.superheat === null))
    sentences.push(
      "No steady running with a superheat in the refrigerant's range: check units, gauge or absolute, and the refrigerant.",
    );
  if (windows.every((window) => window.oscillation.oscillating === null))
    sentences.push(
      'Too little steady running to say whether superheat oscillates: at least four cycles and forty samples are needed.',
    );
  if (!assessment.huntingKnown)
    sentences.push('Under an hour of steady running was judged: no findings on hunting are made.');
  return sentences;
}
