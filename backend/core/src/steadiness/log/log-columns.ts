import {
  circuitSeriesColumns,
  emptyCircuitSeries,
  type CircuitSeries,
} from '../../telemetry/circuit-series.js';
import { SeriesError } from '../../signals/series-error.js';
import { celsiusToKelvin, fahrenheitToKelvin, psiToPascal } from '../../units/index.js';

/** A logger's table: one array per column, named by its header; text only in time columns. */
export type LogTable = Record<string, ArrayLike<number | string>>;

type Kind = 'pressure' | 'temperature' | 'temperature-difference' | 'percent' | 'flow' | 'power';

interface Name {
  column: (typeof circuitSeriesColumns)[number];
  kind: Kind;
}

const names: Record<string, Name> = {
  suction_pressure: { column: 'suctionPressure_Pa', kind: 'pressure' },
  suction_temperature: { column: 'suctionTemperature_K', kind: 'temperature' },
  valve_opening: { column: 'valveOpening_pct', kind: 'percent' },
  discharge_pressure: { column: 'dischargePressure_Pa', kind: 'pressure' },
  discharge_temperature: { column: 'dischargeTemperature_K', kind: 'temperature' },
  liquid_temperature: { column: 'liquidTemperature_K', kind: 'temperature' },
  superheat_setpoint: { column: 'superheatSetpoint_K', kind: 'temperature-difference' },
  compressor_load: { column: 'compressorLoad_pct', kind: 'percent' },
  entering_temperature: { column: 'enteringWaterTemperature_K', kind: 'temperature' },
  leaving_temperature: { column: 'leavingWaterTemperature_K', kind: 'temperature' },
  flow: { column: 'waterFlow_m3_s', kind: 'flow' },
  condenser_entering_temperature: { column: 'condenserEnteringTemperature_K', kind: 'temperature' },
  condenser_leaving_temperature: { column: 'condenserLeavingTemperature_K', kind: 'temperature' },
  condenser_flow: { column: 'condenserFlow_m3_s', kind: 'flow' },
  condenser_fan_speed: { column: 'condenserFanSpeed_pct', kind: 'percent' },
  compressor_power: { column: 'compressorPower_W', kind: 'power' },
  ambient_temperature: { column: 'ambientTemperature_K', kind: 'temperature' },
};

type Convert = (value: number) => number;
const times =
  (factor: number): Convert =>
  (value) =>
    value * factor;
const kelvin: Convert = (value) => value;

/** Unit suffixes, lower case (`mw` is megawatt: no compressor takes milliwatts). US gallon a minute: 6.30902e-5 m3/s. */
const units: Record<Kind, Record<string, Convert>> = {
  pressure: {
    pa: times(1),
    hpa: times(100),
    kpa: times(1e3),
    mpa: times(1e6),
    mbar: times(100),
    bar: times(1e5),
    psi: psiToPascal,
    psia: psiToPascal,
  },
  temperature: {
    k: kelvin,
    c: celsiusToKelvin,
    degc: celsiusToKelvin,
    cel: celsiusToKelvin,
    f: fahrenheitToKelvin,
    degf: fahrenheitToKelvin,
  },
  'temperature-difference': {
    k: times(1),
    c: times(1),
    degc: times(1),
    f: times(1 / 1.8),
    degf: times(1 / 1.8),
  },
  percent: { pct: times(1), percent: times(1), share: times(100) },
  flow: {
    m3_s: times(1),
    m3_h: times(1 / 3600),
    l_s: times(1e-3),
    l_min: times(1e-3 / 60),
    gpm: times(6.30902e-5),
  },
  power: { w: times(1), kw: times(1e3), mw: times(1e6), hp: times(745.7) },
};

/** Gauge pressures: the suffix says so and the atmosphere is added. */
const gaugeUnits: Record<string, Convert> = {
  barg: times(1e5),
  kpag: times(1e3),
  psig: psiToPascal,
  pag: times(1),
};

export interface LogReading {
  series: CircuitSeries;
  /** Columns whose header says gauge pressure: the atmosphere was added. */
  gauge: string[];
  /** Header names that were read, with what they became. */
  read: { name: string; column: string }[];
  warnings: string[];
}

/**
 * Reads a logger's columns by name: `suction_pressure_Pa`, `suction_pressure_bar`, `suction_pressure_psig`,
 * `suction_temperature_degC`, `valve_opening_pct` and so on; hyphens and capitals are no matter. Time is `time_s`
 * (seconds from any origin), `time_min`, `time_ms` or `time` (ISO 8601). Rows without a time, out of order or doubled
 * are dropped with a warning. What is not recognised is named in a warning, never guessed.
 * @throws SeriesError when there is no time, or two columns claim the same value.
 */
export function readLogColumns(table: LogTable, atmosphere_Pa = 101_325): LogReading {
  const headers = Object.keys(table);
  const warnings: string[] = [];
  const timeHeader = headers.find((header) => /^(time|timestamp)(_(s|min|ms))?$/.test(tidy(header)));
  if (timeHeader === undefined)
    throw new SeriesError('time_s', `no time column among: ${headers.join(', ') || 'nothing'}`);
  const rows = orderedRows(timesOf(timeHeader, table[timeHeader]), warnings);
  const series = emptyCircuitSeries(rows.length);
  rows.forEach(({ at_s }, i) => (series.time_s[i] = at_s));
  const read: LogReading['read'] = [];
  const gauge: string[] = [];
  const taken = new Map<string, string>();
  for (const header of headers) {
    if (header === timeHeader) continue;
    const found = recognise(tidy(header), atmosphere_Pa);
    if (typeof found === 'string') {
      warnings.push(`Column "${header}" is not used: ${found}.`);
      continue;
    }
    const other = taken.get(found.column);
    if (other !== undefined) throw new SeriesError(header, `says the same as column "${other}"`);
    taken.set(found.column, header);
    const column = series[found.column];
    const cells = table[header];
    rows.forEach(({ row }, i) => (column[i] = found.convert(numberOf(cells[row]))));
    read.push({ name: header, column: found.column });
    if (found.gauge) gauge.push(found.column);
  }
  return { series, gauge, read, warnings };
}

const tidy = (header: string): string =>
  header
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
    .replace(/[^a-z0-9_]/g, '');

function numberOf(cell: number | string | undefined): number {
  if (typeof cell === 'number') return cell;
  if (cell === undefined || cell.trim() === '') return NaN;
  return Number(cell);
}

function recognise(
  header: string,
  atmosphere_Pa: number,
): { column: (typeof circuitSeriesColumns)[number]; gauge: boolean; convert: Convert } | string {
  for (const [name, { column, kind }] of Object.entries(names)) {
    if (!header.startsWith(name)) continue;
    const suffix = header.slice(name.length).replace(/^_/, '');
    if (suffix === '') return 'its name does not say the unit';
    if (kind === 'pressure' && Object.hasOwn(gaugeUnits, suffix)) {
      const convert = gaugeUnits[suffix];
      return { column, gauge: true, convert: (value) => convert(value) + atmosphere_Pa };
    }
    if (Object.hasOwn(units[kind], suffix)) return { column, gauge: false, convert: units[kind][suffix] };
    if (/^\d/.test(suffix)) continue;
    return `unit "${suffix}" is not known for a ${kind.replace('-', ' ')}`;
  }
  return 'its name is not one of the telemetry names';
}

function timesOf(header: string, cells: ArrayLike<number | string>): Float64Array {
  const unit = tidy(header).split('_')[1];
  const scale = unit === 'ms' ? 1e-3 : unit === 'min' ? 60 : 1;
  const out = new Float64Array(cells.length);
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i];
    const number = numberOf(cell);
    if (Number.isFinite(number)) out[i] = number * scale;
    else out[i] = typeof cell === 'string' ? Date.parse(isoUtc(cell.trim())) / 1000 : NaN;
  }
  return out;
}

/** An ISO 8601 time without a zone is taken as UTC, so that the result does not depend on where it runs. */
const isoUtc = (text: string): string =>
  /[zZ]$|[+-]\d\d:?\d\d$/.test(text) || /^\d{4}-\d\d-\d\d$/.test(text) ? text : `${text.replace(' ', 'T')}Z`;

function orderedRows(time_s: Float64Array, warnings: string[]): { row: number; at_s: number }[] {
  const rows: { row: number; at_s: number }[] = [];
  let unreadable = 0;
  for (let row = 0; row < time_s.length; row++) {
    if (Number.isFinite(time_s[row])) rows.push({ row, at_s: time_s[row] });
    else unreadable++;
  }
  const before = rows.map(({ at_s }) => at_s);
  rows.sort((a, b) => a.at_s - b.at_s);
  const moved = rows.filter(({ at_s }, i) => at_s !== before[i]).length;
  const kept = rows.filter(({ at_s }, i) => i === 0 || at_s > rows[i - 1].at_s);
  if (unreadable > 0) warnings.push(`${unreadable} rows have no readable time and are left out.`);
  if (moved > 0) warnings.push('Rows are not in the order of time and were put in order.');
  if (kept.length < rows.length)
    warnings.push(`${rows.length - kept.length} rows repeat a time and are left out.`);
  return kept;
}
