import { filled, medianInPlace } from '../../../numerics/index.js';
import type { AgeingMonth } from '../ageing-months.js';
import { capacitancePrior, referenceTemperature_K } from '../temperature-law/index.js';
import {
  ageingKinds,
  rootAxis,
  weighedModels,
  type AgeAxis,
  type AgeingKind,
  type MeasuredLevels,
} from '../models/index.js';
import { predictiveDensity } from './predictive-density.js';

/** A number for each way of ageing. */
export type ByKind = Readonly<Record<AgeingKind, number>>;

/** What one module's months tell of the way in which it ages. */
export interface CohortEvidence {
  /** Marginal likelihood of each way, up to a factor that all share. */
  likelihood: ByKind;
  /** The same of the earlier months alone, and of those times the density of the later ones predicted from them. */
  earlier: ByKind;
  predicted: ByKind;
}

export const fewestCohortMonths = 18;
/** The last third is held out. */
const heldOut = 1 / 3;
const day_s = 86400;
const alike = Object.fromEntries(ageingKinds.map((kind) => [kind, 1])) as ByKind;

/**
 * Marginal likelihoods of the ways of ageing from a module's months, each against its own earlier ones, and how well
 * each predicts the last third of them from those before. `null` for fewer than 18 months that can be compared, and for a module whose months
 * follow none of the ways.
 *
 * @param since_s months before a sudden change are left out.
 */
export function cohortEvidence(months: readonly AgeingMonth[], since_s = -Infinity): CohortEvidence | null {
  const known = months.filter(
    ({ month_s, weightedAge_d, meanTemperature_K }) =>
      month_s > since_s && weightedAge_d !== null && weightedAge_d >= 0 && meanTemperature_K !== null,
  );
  if (known.length < fewestCohortMonths) return null;
  const scatter = monthScatter(known);
  const from = Math.ceil(known.length * (1 - heldOut));
  const all = weighed(known, known.length, scatter);
  if (all.variance > worstFit ** 2 * scatter ** 2) return null;
  const before = weighed(known, from, scatter);
  const densities = before.models.map((model) =>
    predictiveDensity(model, before.measured, before.variance, { from, ...levelsOf(known) }),
  );
  // Densities may be too small for a number: told against the best.
  const most = densities.reduce((high, value) => Math.max(high, value), -Infinity);
  return {
    likelihood: summed(all.models, () => 1),
    earlier: summed(before.models, () => 1),
    predicted: summed(before.models, (index) => Math.exp(densities[index]! - most)),
  };
}

/** A module whose months lie so many times their scatter off all ways of ageing teaches nothing of them. */
const worstFit = 3;

function weighed(months: readonly AgeingMonth[], count: number, scatter: number) {
  const axis = axisOf(months, count);
  const measured = measuredOf(months, count, scatter);
  return { measured, ...weighedModels([axis, rootAxis(axis, 0)], measured, alike) };
}

const summed = (models: readonly { kind: AgeingKind; weight: number }[], factor: (index: number) => number) =>
  Object.fromEntries(
    ageingKinds.map((kind) => [
      kind,
      models.reduce((sum, model, i) => (model.kind === kind ? sum + model.weight * factor(i) : sum), 0),
    ]),
  ) as ByKind;

/** Weighted age since new, by the doubling of the settings. */
function axisOf(months: readonly AgeingMonth[], count: number): AgeAxis {
  const x = filled(count, (i) => months[i]!.weightedAge_d! * day_s);
  const calendar = { timeUntil_s: (added_s: number) => added_s, meanRate: 1, spread: () => 0 };
  return { calendar, prior: 1, now: x[count - 1]!, x };
}

const levelsOf = (months: readonly AgeingMonth[]) => ({
  level_F: filled(months.length, (i) => months[i]!.capacitance_F),
  warmer_K: filled(months.length, (i) => months[i]!.meanTemperature_K! - referenceTemperature_K),
  age_s: filled(months.length, (i) => months[i]!.weightedAge_d! * day_s),
});

function measuredOf(months: readonly AgeingMonth[], count: number, scatter: number): MeasuredLevels {
  const { level_F, warmer_K } = levelsOf(months.slice(0, count));
  return {
    level_F,
    warmer_K,
    scatter,
    // A median of absolute second differences is worth about a quarter of as many independent values.
    freedom: count / 4,
    perK: capacitancePrior.mean,
    perKUncertainty: capacitancePrior.spread,
  };
}

/** Relative scatter of one month about a line through its neighbours: second differences have 6 times its variance. */
function monthScatter(months: readonly AgeingMonth[]): number {
  const ln = months.map(({ capacitance_F }) => Math.log(capacitance_F));
  const bends = filled(ln.length - 2, (i) => Math.abs(ln[i]! - 2 * ln[i + 1]! + ln[i + 2]!));
  return Math.max(leastScatter, (1.4826 * medianInPlace(bends)) / Math.sqrt(6));
}
/** No median of tests is known better than to a thousandth: COMMON PRACTICE, no source. */
const leastScatter = 0.001;
