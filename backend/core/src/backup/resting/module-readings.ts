import { BackupInputError } from '../errors.js';
import { medianInPlace, select } from '../../numerics/index.js';

/** Columns of the module's readings, in time order; a missing value is `NaN`. */
export interface ModuleReadings {
  time_s: Float64Array;
  voltage_V: Float64Array;
  current_A: Float64Array;
  temperature_K: Float64Array;
  mains: Float64Array;
  health: Float64Array;
}

/** One stretch with the mains contact gone. */
export interface PowerLoss {
  from_s: number;
  /** `null`: still gone at the last reading. */
  to_s: number | null;
}

/** Losses with less than this between them are one. */
const joined_s = 120;
/** After the mains return, the module charges: so long its voltage and current are not those of a full module. */
const recharge_s = 3600;
const day_s = 86400;
const mostForMedian = 3000;

/**
 * Stretches in which the mains contact read 0, in time order. A stretch ends at the first reading of 1; readings
 * without the contact change nothing.
 */
export function findPowerLosses(readings: ModuleReadings): PowerLoss[] {
  checkColumns(readings);
  const losses: PowerLoss[] = [];
  let open: PowerLoss | null = null;
  for (let i = 0; i < readings.time_s.length; i++) {
    const mains = readings.mains[i]!;
    if (Number.isNaN(mains)) continue;
    const t = readings.time_s[i]!;
    if (mains < 0.5 && !open) {
      const last: PowerLoss | undefined = losses[losses.length - 1];
      if (last && last.to_s !== null && t - last.to_s < joined_s) {
        open = last;
        open.to_s = null;
      } else {
        open = { from_s: t, to_s: null };
        losses.push(open);
      }
    } else if (mains >= 0.5 && open) {
      open.to_s = t;
      open = null;
    }
  }
  return losses;
}

export function checkColumns(readings: ModuleReadings): void {
  const n = readings.time_s.length;
  for (const name of ['voltage_V', 'current_A', 'temperature_K', 'mains', 'health'] as const) {
    if (readings[name].length !== n)
      throw new BackupInputError(`readings.${name}`, 'must be as long as readings.time_s');
  }
}

/** State of a module at rest, full and on mains, from its readings. */
export interface RestingFigures {
  /** Median over the last day on mains, or over all of it where the last day has too little. */
  chargedVoltage_V: number | null;
  /** Since when the mains have been present, as far as the readings reach; `null` while gone or unknown. */
  mainsSince_s: number | null;
  /** Median current into the full module over the last week on mains. */
  floatCurrent_A: number | null;
  lowestTemperature_K: number | null;
  temperatureNow_K: number | null;
  samples: number;
}

export function restingFigures(readings: ModuleReadings, now_s: number): RestingFigures {
  checkColumns(readings);
  const n = readings.time_s.length;
  // A few thousand values give the median as well as all of them.
  const stride = Math.max(1, Math.floor(n / mostForMedian));
  const most = Math.ceil(n / stride);
  const lastDay = new Float64Array(most);
  const all = new Float64Array(most);
  const floats = new Float64Array(most);
  const warm = new Float64Array(most);
  let nDay = 0;
  let nAll = 0;
  let nFloat = 0;
  let nWarm = 0;
  let mainsSince_s: number | null = null;
  let seenGone = false;
  for (let i = 0; i < n; i++) {
    const t = readings.time_s[i]!;
    if (i % stride === 0 && readings.temperature_K[i]! > 0) warm[nWarm++] = readings.temperature_K[i]!;
    const mains = readings.mains[i]!;
    if (mains < 0.5) {
      mainsSince_s = null;
      seenGone = true;
    } else if (mains >= 0.5 && mainsSince_s === null) mainsSince_s = t;
    // Without a loss seen, the mains have been there from before the readings begin.
    if (i % stride !== 0 || mainsSince_s === null || (seenGone && t - mainsSince_s < recharge_s)) continue;
    const voltage = readings.voltage_V[i]!;
    if (voltage >= 0) {
      all[nAll++] = voltage;
      if (now_s - t <= day_s) lastDay[nDay++] = voltage;
    }
    const current = readings.current_A[i]!;
    if (now_s - t <= 7 * day_s && Number.isFinite(current)) floats[nFloat++] = -current;
  }
  return {
    chargedVoltage_V:
      nDay * stride >= 30
        ? medianInPlace(lastDay, nDay)
        : nAll * stride >= 10
          ? medianInPlace(all, nAll)
          : null,
    mainsSince_s,
    floatCurrent_A: nFloat * stride >= 60 ? medianInPlace(floats, nFloat) : null,
    lowestTemperature_K: nWarm > 0 ? select(warm, Math.floor(0.005 * nWarm), nWarm) : null,
    temperatureNow_K: lastOver0(readings.temperature_K),
    samples: n,
  };
}

function lastOver0(values: Float64Array): number | null {
  for (let i = values.length - 1; i >= 0; i--) if (values[i]! > 0) return values[i]!;
  return null;
}

/** Fall of voltage with the mains gone and nothing driven. */
export interface OpenCircuitDecay {
  /** V/s over the whole stretch, and over its first and last third. */
  rate_V_s: number;
  early_V_s: number;
  late_V_s: number;
  fall_V: number;
  from_V: number;
  duration_s: number;
  /** Mean current that the sensor saw leave in the same time, A. */
  drawn_A: number;
}

/** A closing is over by then; from there on the voltage falls by leakage alone, s. */
const settle_s = 600;
const shortestDecay_s = 1800;

/** The longest open-circuit decay in the readings, `null` where no loss lasted long enough. */
export function openCircuitDecay(
  readings: ModuleReadings,
  losses: readonly PowerLoss[],
): OpenCircuitDecay | null {
  let best: OpenCircuitDecay | null = null;
  for (const loss of losses) {
    const from_s = loss.from_s + settle_s;
    const to_s = loss.to_s ?? Infinity;
    const rows: number[] = [];
    for (let i = 0; i < readings.time_s.length; i++) {
      const t = readings.time_s[i]!;
      if (t >= from_s && t < to_s && readings.voltage_V[i]! >= 0) rows.push(i);
    }
    if (rows.length < 12) continue;
    const first_s = readings.time_s[rows[0]!]!;
    const duration_s = readings.time_s[rows[rows.length - 1]!]! - first_s;
    if (duration_s < shortestDecay_s || (best && duration_s <= best.duration_s)) continue;
    // Medians of four parts, so that one bad reading does not tilt the slope.
    const part = Math.floor(rows.length / 4);
    const level = (k: number) => {
      const own = rows.slice(k * part, k === 3 ? rows.length : (k + 1) * part);
      return {
        v: medianInPlace(Float64Array.from(own, (i) => readings.voltage_V[i]!)),
        t: medianInPlace(Float64Array.from(own, (i) => readings.time_s[i]!)),
      };
    };
    const levels = [level(0), level(1), level(2), level(3)];
    const rate = (a: number, b: number) => (levels[a]!.v - levels[b]!.v) / (levels[b]!.t - levels[a]!.t);
    let drawn = 0;
    let count = 0;
    for (const i of rows) {
      if (!Number.isFinite(readings.current_A[i])) continue;
      drawn += readings.current_A[i]!;
      count++;
    }
    best = {
      rate_V_s: rate(0, 3),
      early_V_s: rate(0, 1),
      late_V_s: rate(2, 3),
      fall_V: readings.voltage_V[rows[0]!]! - readings.voltage_V[rows[rows.length - 1]!]!,
      from_V: readings.voltage_V[rows[0]!]!,
      duration_s,
      drawn_A: count > 0 ? drawn / count : 0,
    };
  }
  return best;
}
