import { gammaDraws, quantileSorted, seededRandom } from '../../numerics/index.js';
import { ArgumentError } from '../../units/errors.js';
import { checkLifetimes, type Lifetime } from './lifetime.js';

export interface ComingFailures {
  /** Number expected to fail in this period, of those that are told of. */
  expected: number;
  low: number;
  high: number;
  /** Parts that will be older in this period than enough others have been watched at: nothing is told of them. */
  notTold: number;
}

export interface ComingOptions {
  /** Length of a period and how many are looked at. */
  period: number;
  periods: number;
  /** Ages over which the rate of failure is taken as one. */
  ageStep: number;
  level?: number;
  draws?: number;
  seed?: number;
}

/** An age is known once this many parts were watched there. Judgement, no source. */
const leastWatched = 5;

interface Rates {
  failures: Float64Array;
  watched: Float64Array;
  parts: Int32Array;
}

/**
 * How many of the parts alive now fail in each coming period. Failures over watched time give the rate of each step of
 * age (piecewise exponential, Friedman 1982, Ann. Stat. 10:101); the rate is drawn from Gamma(d + a, time), where all a
 * together are Jeffreys' 1/2, and each part then lives or dies by chance, so the interval holds both what is not known of the rate and
 * luck. Those that a part outlives the first period enter the second. No replacement is counted.
 *
 * @param alive ages of the parts in service now.
 * @example comingFailures(watched, [4.1, 6.3], { period: 0.25, periods: 4, ageStep: 0.5 })[0].expected
 */
export function comingFailures(
  lifetimes: readonly Lifetime[],
  alive: readonly number[],
  { period, periods, ageStep, level = 0.95, draws = 1000, seed = 1 }: ComingOptions,
): ComingFailures[] {
  checkLifetimes(lifetimes);
  if (!(period > 0 && ageStep > 0)) throw new ArgumentError('period, ageStep', 'must be over 0');
  const rates = ratesByAge(lifetimes, ageStep);
  const known = (age: number) => (rates.parts[Math.floor(age / ageStep)] ?? 0) >= leastWatched;
  const told = alive.map((age) => {
    let count = 0;
    while (count < periods && known(age + count * period) && known(age + (count + 1) * period - 1e-9))
      count++;
    return count;
  });
  const uniform = seededRandom(seed);
  const gamma = gammaDraws(uniform);
  // Half a failure at each age would be several over all of them.
  const prior = 0.5 / Math.max(1, rates.parts.filter((parts) => parts >= leastWatched).length);
  const drawn = Array.from({ length: periods }, () => new Float64Array(draws));
  for (let draw = 0; draw < draws; draw++) {
    const hazard = Float64Array.from(rates.failures, (failures, step) =>
      rates.watched[step]! > 0 ? gamma(failures + prior) / rates.watched[step]! : 0,
    );
    const cumulative = cumulativeHazard(hazard, ageStep);
    alive.forEach((age, part) => {
      // One exponential draw says how much hazard this part outlives.
      const until = cumulative(age) - Math.log(1 - uniform());
      for (let q = 0; q < told[part]!; q++)
        if (cumulative(age + (q + 1) * period) >= until) {
          drawn[q]![draw]!++;
          break;
        }
    });
  }
  return drawn.map((counts, q) => {
    const sorted = counts.slice().sort();
    return {
      expected: counts.reduce((sum, count) => sum + count, 0) / draws,
      low: Math.floor(quantileSorted(sorted, 0.5 - level / 2)),
      high: Math.ceil(quantileSorted(sorted, 0.5 + level / 2)),
      notTold: told.filter((count) => count <= q).length,
    };
  });
}

function ratesByAge(lifetimes: readonly Lifetime[], ageStep: number): Rates {
  const oldest = lifetimes.reduce((age, { exit }) => Math.max(age, exit), 0);
  const steps = Math.floor(oldest / ageStep) + 1;
  const rates = {
    failures: new Float64Array(steps),
    watched: new Float64Array(steps),
    parts: new Int32Array(steps),
  };
  for (const { entry, exit, failed } of lifetimes) {
    for (let step = Math.floor(entry / ageStep); step * ageStep < exit; step++) {
      rates.watched[step]! += Math.min(exit, (step + 1) * ageStep) - Math.max(entry, step * ageStep);
      rates.parts[step]!++;
    }
    // A failure at the very end of a step belongs to it.
    if (failed) rates.failures[Math.max(0, Math.ceil(exit / ageStep) - 1)]!++;
  }
  return rates;
}

function cumulativeHazard(hazard: Float64Array, ageStep: number): (age: number) => number {
  const sums = new Float64Array(hazard.length + 1);
  for (let step = 0; step < hazard.length; step++) sums[step + 1] = sums[step]! + hazard[step]! * ageStep;
  return (age) => {
    const step = Math.min(hazard.length - 1, Math.floor(age / ageStep));
    return sums[step]! + hazard[step]! * (age - step * ageStep);
  };
}
