import {
  normalProbability,
  normalQuantile,
  quantileSorted,
  seededRandom,
  studentQuantile,
} from '../../numerics/index.js';

export interface ResampledFigure {
  estimate: number;
  low: number;
  high: number;
}

export interface ResamplingOptions {
  level?: number;
  draws?: number;
  seed?: number;
}

/** Units by the stratum within which they are drawn. */
type Strata = readonly (readonly number[])[];

/**
 * A figure over rows with its interval, from drawing whole units with replacement: rows of one unit, such as its
 * circuits or weeks, go together, since they are no independent observations. Units are drawn within strata, so that no
 * draw lacks a group. The interval is the percentile one, expanded for few units by Student's t (Hesterberg 2015, Am.
 * Stat. 69:371, section 5.3): plain percentiles of few units are too narrow.
 *
 * @param unitOf the unit of each row, numbers from 0 on.
 * @param stratumOf the stratum of each unit.
 * @param statistic of the rows, each counted as often as the weights say; null where it cannot be told.
 * @param degrees units that the figure rests on, less one; by default the smallest stratum's.
 * @returns null where the figure, or more than a tenth of its draws, cannot be told.
 * @example resampledFigure(unitOf, stratumOf, (weights) => weightedMean(values, weights))
 */
export function resampledFigure(
  unitOf: readonly number[],
  stratumOf: readonly number[],
  statistic: (weights: Float64Array) => number | null,
  options: ResamplingOptions & { degrees?: number } = {},
): ResampledFigure | null {
  const weights = new Float64Array(unitOf.length);
  return resampledByUnit(
    stratumOf,
    (times) => {
      for (let row = 0; row < weights.length; row++) weights[row] = times[unitOf[row]!]!;
      return statistic(weights);
    },
    options,
  );
}

/** The same where the statistic is worked out from how often each unit is drawn, without its rows one by one. */
export function resampledByUnit(
  stratumOf: readonly number[],
  statistic: (times: Int32Array) => number | null,
  { level = 0.95, draws = 500, seed = 1, degrees }: ResamplingOptions & { degrees?: number } = {},
): ResampledFigure | null {
  const times = new Int32Array(stratumOf.length).fill(1);
  const estimate = statistic(times);
  if (estimate === null) return null;
  const strata = byStratum(stratumOf);
  const uniform = seededRandom(seed);
  const found: number[] = [];
  for (let draw = 0; draw < draws; draw++) {
    drawUnits(strata, times, uniform);
    const value = statistic(times);
    if (value !== null) found.push(value);
  }
  if (found.length < 0.9 * draws) return null;
  const rest = degrees ?? Math.min(...strata.map((units) => units.length)) - 1;
  if (!(rest >= 1)) return null;
  const sorted = Float64Array.from(found).sort();
  const tail = expandedTail(level, rest);
  return { estimate, low: quantileSorted(sorted, tail), high: quantileSorted(sorted, 1 - tail) };
}

/** The share of draws left off at each end, smaller than (1 - level)/2 where few units are behind them. */
function expandedTail(level: number, degrees: number): number {
  const wider = Math.sqrt((degrees + 1) / degrees) * studentQuantile(0.5 + level / 2, degrees);
  return Math.min(
    0.5 - level / 2,
    normalProbability(-wider),
    normalProbability(-normalQuantile(0.5 + level / 2)),
  );
}

function byStratum(stratumOf: readonly number[]): Strata {
  const strata = new Map<number, number[]>();
  stratumOf.forEach((stratum, unit) => {
    const units = strata.get(stratum);
    if (units === undefined) strata.set(stratum, [unit]);
    else units.push(unit);
  });
  return [...strata.values()];
}

function drawUnits(strata: Strata, times: Int32Array, uniform: () => number): void {
  times.fill(0);
  for (const units of strata)
    for (let i = 0; i < units.length; i++) times[units[Math.floor(uniform() * units.length)]!]!++;
}
