import { filled, median } from '../../numerics/index.js';
import { BackupInputError } from '../errors.js';
import { longestDrive } from './capacitor/index.js';
import type { ClosingTrace } from './closing-judgement.js';

/** Opening that counts as shut, %: half a percent is what a position count can be off after overdrive. COMMON PRACTICE. */
export const shutOpening_pct = 0.5;

const value = (column: ArrayLike<number | null>, i: number): number => column[i] ?? NaN;

/** Rows with a voltage, and their currents; `current_A` is `null` where too few rows carry one. */
export function electricalRows(trace: ClosingTrace): {
  time_s: Float64Array;
  voltage_V: Float64Array;
  current_A: Float64Array | null;
} {
  const n = trace.time_s.length;
  for (const name of ['voltage_V', 'current_A', 'valveOpening_pct'] as const) {
    if (trace[name].length !== n)
      throw new BackupInputError(`trace.${name}`, 'must be as long as trace.time_s');
  }
  const rows = new Int32Array(n);
  const withCurrent = new Int32Array(n);
  let count = 0;
  let countWithCurrent = 0;
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(trace.time_s[i])) throw new BackupInputError('trace.time_s', 'must be finite');
    if (i > 0 && !(trace.time_s[i]! > trace.time_s[i - 1]!))
      throw new BackupInputError('trace.time_s', 'must increase strictly');
    if (!Number.isFinite(value(trace.voltage_V, i))) continue;
    rows[count++] = i;
    if (Number.isFinite(value(trace.current_A, i))) withCurrent[countWithCurrent++] = i;
  }
  const enough = countWithCurrent >= 3 && countWithCurrent >= count / 2;
  const kept = enough ? withCurrent : rows;
  const column = (from: ArrayLike<number | null>) =>
    filled(enough ? countWithCurrent : count, (k) => value(from, kept[k]!));
  return {
    time_s: column(trace.time_s),
    voltage_V: column(trace.voltage_V),
    current_A: enough ? column(trace.current_A) : null,
  };
}

export interface DriveFigures {
  from: number;
  to: number;
  time_s: number;
  energy_J: number;
  power_W: number;
}

/** Energy by trapezoids over the drive; the two samples at its ends give it half a spacing more each. */
export function driveFigures(
  time_s: Float64Array,
  voltage_V: Float64Array,
  current_A: Float64Array,
): DriveFigures | null {
  const drive = longestDrive(time_s, current_A);
  if (!drive || drive.end === drive.start) return null;
  const { start, end } = drive;
  let energy_J = 0;
  for (let i = start + 1; i <= end; i++)
    energy_J +=
      ((voltage_V[i]! * current_A[i]! + voltage_V[i - 1]! * current_A[i - 1]!) / 2) *
      (time_s[i]! - time_s[i - 1]!);
  const between_s = time_s[end]! - time_s[start]!;
  const power_W = energy_J / between_s;
  const lead_s = start > 0 ? (time_s[start]! - time_s[start - 1]!) / 2 : 0;
  const spacing_s = between_s / (end - start);
  const tail_s = end + 1 < time_s.length ? Math.min(spacing_s, time_s[end + 1]! - time_s[end]!) / 2 : 0;
  const extra_s = Math.min(lead_s, spacing_s / 2) + tail_s;
  return {
    from: start,
    to: end,
    time_s: between_s + extra_s,
    energy_J: energy_J + power_W * extra_s,
    power_W,
  };
}

export interface VoltageFigures {
  before_V: number | null;
  after_V: number | null;
  lowest_V: number | null;
}

export function voltageFigures(
  time_s: Float64Array,
  voltage_V: Float64Array,
  drive: DriveFigures | null,
): VoltageFigures {
  const n = voltage_V.length;
  if (n === 0) return { before_V: null, after_V: null, lowest_V: null };
  let lowest_V = Infinity;
  let highestEarly_V = voltage_V[0]!;
  for (let i = 0; i < n; i++) lowest_V = Math.min(lowest_V, voltage_V[i]!);
  if (drive && drive.from > 0) highestEarly_V = voltage_V[drive.from - 1]!;
  // After the drive and before recharging: the next samples at rest, within ten seconds.
  let after_V = voltage_V[n - 1]!;
  if (drive) {
    after_V = voltage_V[drive.to]!;
    for (let i = drive.to + 1; i < n && time_s[i]! - time_s[drive.to]! <= 10; i++) after_V = voltage_V[i]!;
  }
  return { before_V: highestEarly_V, after_V, lowest_V };
}

export interface TravelFigures {
  before_pct: number | null;
  after_pct: number | null;
  /** `null` where too few openings were sent. */
  shut: boolean | null;
  timeToShut_s: number | null;
  sampling_s: number | null;
}

export function travelFigures(trace: ClosingTrace): TravelFigures {
  const time: number[] = [];
  const opening: number[] = [];
  for (let i = 0; i < trace.time_s.length; i++) {
    const pct = value(trace.valveOpening_pct, i);
    if (!Number.isFinite(pct)) continue;
    time.push(trace.time_s[i]!);
    opening.push(pct);
  }
  const n = opening.length;
  if (n < 2) {
    return {
      before_pct: n === 1 ? opening[0]! : null,
      after_pct: null,
      shut: null,
      timeToShut_s: null,
      sampling_s: null,
    };
  }
  const before_pct = opening[0]!;
  const after_pct = opening[n - 1]!;
  const shut = after_pct <= shutOpening_pct;
  // From the moment that the valve first moves, or from 0 where the trace has a lead.
  let began_s = Math.max(time[0]!, 0);
  for (let i = 1; i < n; i++) {
    if (opening[i]! < before_pct - 0.2) {
      began_s = time[i - 1]!;
      break;
    }
  }
  let timeToShut_s: number | null = null;
  if (shut && before_pct > shutOpening_pct) {
    const first = opening.findIndex((pct) => pct <= shutOpening_pct);
    timeToShut_s = time[first]! - began_s;
  }
  const sampling_s = median(time.slice(1).map((t, i) => t - time[i]!));
  return { before_pct, after_pct, shut, timeToShut_s, sampling_s };
}
