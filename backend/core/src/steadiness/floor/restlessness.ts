import { mean, median } from '../../numerics/index.js';
import type { WindowJudgement } from '../windows/window-judgement.js';

/**
 * From where on a window counts as restless. Judgement, no source.
 *
 * `timesCalm` is for restlessness with the room known, `timesCalmWithoutRoom` for the plain spread, which has doubled
 * by itself where superheat is 3 K lower. Under `least_K` every spread is calm, over `most_K` none: bounds that keep a
 * circuit that is always calm, or never, from setting its own measure.
 */
export const restless = { timesCalm: 1.4, timesCalmWithoutRoom: 2.5, least_K: 0.2, most_K: 0.6 };

/** Spread of a window's normally distributed values over the distance from their median to their 5th percentile. */
const spreadPerLowerReach = 1 / 1.645;

/**
 * What is left for superheat to rise, K: entering water, less evaporating temperature, less superheat; null where the
 * water is not measured. Valid for water that enters where the vapour leaves.
 */
export function roomOf(window: WindowJudgement): number | null {
  const { enteringWaterTemperature_K, evaporatingTemperature_K } = window.conditions;
  if (enteringWaterTemperature_K === null || evaporatingTemperature_K === null || !window.superheat)
    return null;
  // Without a least room a sensor that reads wrong would make any spread look endless.
  return Math.max(1, enteringWaterTemperature_K - evaporatingTemperature_K - window.superheat.mean_K);
}

/**
 * How restless superheat was held in a window: its spread downwards (K), over the room (K) where that is given.
 *
 * Superheat is (water - evaporating) (1 - exp(-N x)) over the dry share x of the evaporator, the effectiveness of an
 * exchanger with one side at constant temperature (MEMORY, textbooks). So a dry-out point that wanders by the same
 * share moves superheat in proportion to N (water - evaporating - superheat): the lower superheat is held, the more it
 * moves, without being any less steady. Divided by the room, that is taken out, and what rises is restlessness.
 * Downwards, because drops that reach the outlet pull superheat down.
 */
export function restlessnessOf(window: WindowJudgement, room_K: number | null): number {
  const { median_K, percentile5_K } = window.superheat!;
  return (spreadPerLowerReach * (median_K - percentile5_K)) / (room_K ?? 1);
}

interface Held {
  /** Load or opening, %. */
  at: number;
  superheat_K: number;
  restlessness: number;
}

/** How calm the circuit can be, and where: the third of the windows with the highest superheat, median and mean load. */
export function calmOf(windows: readonly Held[]): Held {
  const bySuperheat = [...windows].sort((a, b) => b.superheat_K - a.superheat_K);
  const calm = bySuperheat.slice(0, Math.ceil(windows.length / 3));
  return {
    at: mean(calm.map((window) => window.at)),
    superheat_K: median(calm.map((window) => window.superheat_K)),
    restlessness: median(calm.map((window) => window.restlessness)),
  };
}

/**
 * Whether a few minutes moved superheat more than the rest of the window did, as a step of load does: its spread is
 * then far over its robust spread. Such a window tells nothing of how superheat is held. Judgement, no source.
 */
export function isDisturbed(window: WindowJudgement): boolean {
  const { spread_K, robustSpread_K } = window.superheat!;
  return spread_K > 2 * Math.max(robustSpread_K, restless.least_K / 2);
}
