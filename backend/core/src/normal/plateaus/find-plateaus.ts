import { meanBetween } from '../../numerics/index.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import { binned, channels, type BinnedSeries, type Channel } from './channels.js';
import { plateauNumber, type PlateauNumber } from './plateau-number.js';
import { conditionsOf, halfWindow, movement, quantileOf } from './steadiness-of-conditions.js';

/** A stretch of running in which load, water and condenser conditions hold still: one number per channel. */
export interface Plateau {
  from_s: number;
  to_s: number;
  samples: number;
  /** Channels that were sent on it. */
  values: Partial<Record<Channel, PlateauNumber>>;
}

/** Shorter stretches tell too little about a machine with minutes of thermal inertia. */
const shortest_s = 480;
/** Longer ones are cut: conditions creep. */
const longest_s = 4 * 3600;
/** Where under a quarter of the running is on plateaus, what "still" means is relaxed, up to nearly four times. */
export const leastSteadyFraction = 0.25;

/**
 * Cuts steady running into plateaus wherever load, water or condenser conditions change, whatever their length from 8 min
 * up to 4 h. A place is steady where the means of the 4 min before and after it agree within a tolerance per condition
 * (the moving-window steady-state detector of Kim, Yoon, Domanski & Payne 2008, NIST SP 1087, with means for spreads, so
 * that noise does not decide); within steady running, a plateau ends where a condition has left its start by two
 * tolerances. A machine that never holds that still is cut by wider tolerances, and its numbers say so by their
 * uncertainty.
 *
 * Absent columns are passed over: what is there decides.
 * @throws UnknownRefrigerantError.
 */
export function findPlateaus(series: CircuitSeries, refrigerant: string): Plateau[] {
  const record = steadyRecord(series, refrigerant);
  if (record === null) return [];
  let cut: SteadyCut = { steady_s: 0, plateaus: [] };
  for (const tolerance of tolerances) {
    cut = record.cut(tolerance);
    if (cut.steady_s >= leastSteadyFraction * record.ran_s) break;
  }
  return cut.plateaus;
}

/** By how much conditions may move, in tolerances: wider ones for a machine that is steady for under a quarter of its running. */
export const tolerances: readonly number[] = [1, 1.4, 1.96, 2.744, 3.8416];

/** Plateaus cut by one tolerance. */
export interface SteadyCut {
  /** Time on them, s. */
  steady_s: number;
  plateaus: Plateau[];
}

/** A record made ready to be cut by any tolerance; null where it is empty. */
export function steadyRecord(
  series: CircuitSeries,
  refrigerant: string,
): { ran_s: number; cut: (tolerance: number) => SteadyCut } | null {
  if (series.time_s.length === 0) return null;
  const bins = binned(series);
  const { width_s } = bins;
  const running = width_s > 60 ? withoutHoles(runningBins(bins), bins) : runningBins(bins);
  const ran = running.reduce((sum, flag) => sum + flag, 0);
  if (ran === 0) return { ran_s: 0, cut: () => ({ steady_s: 0, plateaus: [] }) };
  const conditions = conditionsOf(bins, refrigerant);
  const half = halfWindow(width_s);
  const moved = movement(conditions, bins.length, half);
  const cut = (tolerance: number): SteadyCut => {
    const parts = steadyStretches(moved, running, tolerance, half)
      .flatMap(([first, last]) => cutByDrift(conditions, first, last, 2 * tolerance, width_s))
      .filter(([from, to]) => (to - from + 1) * width_s >= shortest_s);
    const plateaus = parts.flatMap(
      ([from, to]) => plateauOf(series, bins.from_s + from * width_s, bins.from_s + (to + 1) * width_s) ?? [],
    );
    return { steady_s: parts.reduce((sum, [from, to]) => sum + (to - from + 1) * width_s, 0), plateaus };
  };
  return { ran_s: ran * width_s, cut };
}

/** Running by whatever says so: load, power, the ratio of the pressures. Bins in which nothing does are not. */
export function runningBins({ columns, length }: BinnedSeries): Uint8Array {
  const { compressorLoad_pct: load, compressorPower_W: power } = columns;
  const { suctionPressure_Pa: suction, dischargePressure_Pa: discharge } = columns;
  const usualPower = power ? quantileOf(power, 0.9) : NaN;
  const flags = new Uint8Array(length);
  for (let i = 0; i < length; i++) {
    const says: boolean[] = [];
    if (load && Number.isFinite(load[i])) says.push(load[i] > 2);
    if (power && Number.isFinite(power[i]) && usualPower > 0) says.push(power[i] > 0.05 * usualPower);
    if (suction && discharge && discharge[i] / suction[i] > 0) says.push(discharge[i] / suction[i] > 1.15);
    flags[i] = says.length > 0 && says.every(Boolean) ? 1 : 0;
  }
  return flags;
}

/** A lone bin without a sample between two of running is running: of samples minutes apart one is easily lost. */
const withoutHoles = (running: Uint8Array, { columns }: BinnedSeries): Uint8Array =>
  running.map((flag, i) =>
    running[i - 1] === 1 && running[i + 1] === 1 && !Number.isFinite(columns.suctionPressure_Pa?.[i])
      ? 1
      : flag,
  );

/** First and last bin of each steady stretch, widened by what the windows of its ends cover, but for their outermost parts. */
function steadyStretches(
  moved: Float64Array,
  running: Uint8Array,
  relaxed: number,
  half: number,
): [number, number][] {
  const stretches: [number, number][] = [];
  const steady = (i: number) => moved[i] <= relaxed && running[i] === 1;
  const widen = Math.max(0, half - 2);
  for (let i = 0; i < moved.length;) {
    if (!steady(i)) {
      i++;
      continue;
    }
    let end = i;
    while (end + 1 < moved.length && steady(end + 1)) end++;
    const before = stretches.at(-1);
    let from = Math.max(i - widen, before ? before[1] + 1 : 0);
    let to = Math.min(end + widen, moved.length - 1);
    while (from < i && running[from] === 0) from++;
    while (to > end && running[to] === 0) to--;
    stretches.push([from, to]);
    i = end + 1;
  }
  return stretches;
}

/** Parts of a stretch in which no condition leaves the mean of the part's start by `most` tolerances. */
function cutByDrift(
  conditions: ReturnType<typeof conditionsOf>,
  first: number,
  last: number,
  most: number,
  width_s: number,
): [number, number][] {
  const parts: [number, number][] = [];
  const lead = Math.max(2, Math.round(300 / width_s));
  let from = first;
  while (from <= last) {
    const start = conditions.map(({ values }) => meanBetween(values, from, Math.min(from + lead, last + 1)));
    let to = from;
    while (to < last && (to + 1 - from) * width_s < longest_s) {
      const next = to + 1;
      const left = conditions.some(({ values, tolerance }, k) => {
        const now = meanBetween(values, Math.max(from, next - lead + 1), next + 1);
        return Math.abs(now - start[k]) > most * tolerance;
      });
      if (left) break;
      to = next;
    }
    // What has left the start did so before its trailing mean showed it.
    const end = to === last || (to + 1 - from) * width_s >= longest_s ? to : Math.max(from, to - (lead >> 1));
    parts.push([from, end]);
    from = to + 1;
  }
  return parts;
}

function plateauOf(series: CircuitSeries, from_s: number, to_s: number): Plateau | null {
  const from = firstAtOrAfter(series.time_s, from_s);
  const to = firstAtOrAfter(series.time_s, to_s);
  if (to - from < 3) return null;
  const values: Plateau['values'] = {};
  const time_s = series.time_s.subarray(from, to);
  for (const channel of channels) {
    const number = plateauNumber(time_s, series[channel].subarray(from, to));
    if (number) values[channel] = number;
  }
  return { from_s: time_s[0], to_s: time_s[time_s.length - 1], samples: to - from, values };
}

export function firstAtOrAfter(time_s: Float64Array, at_s: number): number {
  let low = 0;
  let high = time_s.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (time_s[middle] < at_s) low = middle + 1;
    else high = middle;
  }
  return low;
}
