import { window_s } from '../../steadiness/windows/window-judgement.js';
import { choleskyRoot, dot, filled, mean } from '../../numerics/index.js';
import { firstAtOrAfter } from '../../normal/plateaus/find-plateaus.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';

/** What an evaporator shows of its valve: the pressure rises as the valve opens, the vapour that leaves gets colder. */
export type Answer = 'suctionPressure_Pa' | 'suctionTemperature_K';

/** A correlation as Fisher's z = artanh r, whose variance is 1 / weight. */
export interface Correlation {
  z: number;
  weight: number;
}

/** How two circuits' readings follow the steps of two valves after a lag: of the first valve and of the second. */
export interface ValveAnswers {
  lag_s: number;
  /** Of the reading that is registered on the valve's own circuit. */
  own: [Correlation, Correlation];
  /** Of the reading that is registered on the other circuit. */
  other: [Correlation, Correlation];
}

/** Samples are put on a grid of the finer step that most of its places are filled on, s; what comes more seldom tells nothing. */
const steps_s = [10, 30];
const mostFilled = 0.8;
/** Fewer steps of a valve, and fewer rows, tell nothing. Judgement, no source. */
const fewestMoves = 20;
const fewestRows = 60;
/** Of the steps of a valve at least this share of variance is its own: two valves that move in common tell nothing. Judgement, no source. */
const ownShare = 0.05;

/**
 * How suction pressure or temperature of two circuits follow the steps of their valves, over one window of two hours: partial
 * correlations of a valve's step from one sample to the next with the change of a reading from then to a lag later, given the
 * other valve's step and what the reading did over the same time before.
 *
 * A valve feeds its own evaporator alone: liquid that comes in boils, and raises that evaporator's pressure until the compressor
 * has drawn it off, tens of seconds later; the other one's feels it by the shared water only, minutes later and little. What both
 * circuits share (water, load) moves both valves and both readings, so it is taken out with the other valve's step; what a
 * disturbance of one circuit has begun goes on, so it is taken out with the change before (Granger 1969, Econometrica 37:424).
 * Samples next to each other are not independent: their number is lessened by the autocorrelations of both (Bartlett
 * 1935, J. R. Stat. Soc. 98:536).
 *
 * @param start_s start of the window
 * @returns null where samples come too seldom, a valve hardly moves, or both move in common; else one entry for each lag that the
 *   samples resolve
 * @example a lag of 40 s: own +0.3 and other 0.0 as wired, own 0.0 and other +0.3 where the transducers are exchanged
 */
export function valveAnswers(
  first: CircuitSeries,
  second: CircuitSeries,
  start_s: number,
  answer: Answer,
  lags_s: readonly number[],
): ValveAnswers[] | null {
  const grids = steps_s.map((step_s) => ({
    step_s,
    readings: [first, second].map((series) => onGrid(series, start_s, step_s, answer)),
  }));
  const fine = grids.find(({ readings: both }) => both.every(isFilled));
  if (fine === undefined) return null;
  const { step_s, readings } = fine;
  const openings = [first, second].map((series) => onGrid(series, start_s, step_s, 'valveOpening_pct'));
  const answers: ValveAnswers[] = [];
  for (const lag_s of lags_s) {
    if (lag_s % step_s !== 0) continue;
    const rows = rowsAtLag(openings, readings, lag_s / step_s);
    if (rows === null) return null;
    const of = correlationsOf(rows, lag_s / step_s);
    if (of === null) return null;
    answers.push({ lag_s, own: [of[0][0], of[1][1]], other: [of[1][0], of[0][1]] });
  }
  return answers.length === 0 ? null : answers;
}

function isFilled(values: Float64Array): boolean {
  let count = 0;
  for (const value of values) if (Number.isFinite(value)) count++;
  return count >= mostFilled * values.length;
}

/** Means of a column on a grid over the window; NaN where nothing was sent. */
function onGrid(
  series: CircuitSeries,
  start_s: number,
  step_s: number,
  column: Answer | 'valveOpening_pct',
): Float64Array {
  const places = window_s / step_s;
  const sums = new Float64Array(places);
  const counts = new Uint32Array(places);
  const { time_s } = series;
  const values = series[column];
  for (let i = firstAtOrAfter(time_s, start_s); i < time_s.length && time_s[i] < start_s + window_s; i++) {
    if (!Number.isFinite(values[i])) continue;
    const place = Math.floor((time_s[i] - start_s) / step_s);
    sums[place] += values[i];
    counts[place]++;
  }
  for (let k = 0; k < places; k++) sums[k] = counts[k] === 0 ? NaN : sums[k] / counts[k];
  return sums;
}

/** Over rows in which everything is known, each less its mean: the steps of both valves, and of both readings the change after and before. */
interface Rows {
  moves: Float64Array[];
  after: Float64Array[];
  before: Float64Array[];
}

function rowsAtLag(
  openings: readonly Float64Array[],
  readings: readonly Float64Array[],
  lag: number,
): Rows | null {
  const places: number[] = [];
  for (let k = Math.max(1, lag); k + lag < openings[0].length; k++) {
    let sum = 0;
    for (let one = 0; one < 2; one++) {
      const [opening, reading] = [openings[one], readings[one]];
      sum += opening[k] + opening[k - 1] + reading[k - lag] + reading[k] + reading[k + lag];
    }
    if (Number.isFinite(sum)) places.push(k);
  }
  if (places.length < fewestRows) return null;
  const steps = openings.map((values) => changes(values, places, 0, -1));
  if (steps.some((own) => own.filter((by) => by !== 0).length < fewestMoves)) return null;
  return {
    moves: steps.map(centred),
    after: readings.map((values) => centred(changes(values, places, lag, 0))),
    before: readings.map((values) => centred(changes(values, places, 0, -lag))),
  };
}

const changes = (values: Float64Array, places: readonly number[], to: number, from: number): Float64Array =>
  filled(places.length, (at) => values[places[at] + to] - values[places[at] + from]);

function centred(values: Float64Array): Float64Array {
  const about = mean(values);
  return filled(values.length, (at) => values[at] - about);
}

/** Correlations of both valves' steps (second index) with both readings' changes (first index); null where they cannot be told. */
function correlationsOf({ moves, after, before }: Rows, lag: number): Correlation[][] | null {
  const lags = Math.ceil(1.5 * lag);
  const memories = [moves, after].map((of) => of.map((values) => autocorrelations(values, lags)));
  const out: Correlation[][] = [[], []];
  for (const reading of [0, 1])
    for (const valve of [0, 1]) {
      const r = partialCorrelation([moves[1 - valve], before[reading], moves[valve], after[reading]]);
      if (r === null) return null;
      const independent = moves[0].length / inflation(memories[0][valve], memories[1][reading]);
      const weight = independent - 3 - given;
      if (!(weight > 0)) return null;
      out[reading].push({ z: Math.atanh(Math.max(-0.999, Math.min(0.999, r))), weight });
    }
  return out;
}

/** Of four columns the first two are given: the other valve's step and the change before. */
const given = 2;

/**
 * Correlation of the last two of four columns with the first two taken out of both, from the root of their correlations: its last
 * rows are what the earlier columns leave of the later ones.
 */
function partialCorrelation(columns: readonly Float64Array[]): number | null {
  const lengths = columns.map((column) => Math.sqrt(dot(column, column)));
  if (!lengths.every((length) => length > 0)) return null;
  const size = columns.length;
  const correlations = new Float64Array(size * size);
  for (let a = 0; a < size; a++)
    for (let b = 0; b <= a; b++)
      correlations[a * size + b] = a === b ? 1 : dot(columns[a], columns[b]) / (lengths[a] * lengths[b]);
  let root: Float64Array;
  try {
    root = choleskyRoot(correlations, size);
  } catch {
    return null; // One of them is the sum of others: the two valves do the same.
  }
  const [left, together, apart] = [root[10], root[14], root[15]];
  return left ** 2 > ownShare ? together / Math.hypot(together, apart) : null;
}

/**
 * Autocorrelations from a lag of one place on, by their sums: 14 of 700 samples take 12 µs, and 32 by the transform of
 * `signals/autocorrelation.ts`, which is for many lags.
 */
function autocorrelations(values: Float64Array, lags: number): number[] {
  const n = values.length;
  const squares = dot(values, values);
  return Array.from({ length: Math.min(lags, n >> 2) }, (_, k) => {
    const lag = k + 1;
    return dot(values.subarray(0, n - lag), values.subarray(lag)) / squares;
  });
}

/** By how many times fewer independent samples are there than samples. */
const inflation = (one: readonly number[], other: readonly number[]): number =>
  Math.max(1, 1 + 2 * one.reduce((sum, value, k) => sum + value * other[k], 0));

/**
 * The mean of correlations, by their weights. Its variance is the greater of what the windows' weights say and what they
 * scatter by.
 */
export function meanCorrelation(all: readonly Correlation[]): Correlation {
  const weight = all.reduce((sum, one) => sum + one.weight, 0);
  const z = all.reduce((sum, one) => sum + one.weight * one.z, 0) / weight;
  const scatter = all.reduce((sum, one) => sum + (one.z - z) ** 2, 0) / Math.max(1, all.length - 1);
  return { z, weight: Math.min(weight, scatter > 0 ? all.length / scatter : Infinity) };
}
