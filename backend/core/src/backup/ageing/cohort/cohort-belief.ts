import { mean, standardDeviation } from '../../../numerics/index.js';
import { ageingKinds, usualBelief, type AgeingBelief } from '../models/index.js';
import type { ByKind, CohortEvidence } from './cohort-evidence.js';
import { learnBelief } from './learn-belief.js';

/** How the modules of one rating age, learned from those seen for long enough. */
export interface CohortAgeing {
  /** Modules that it was learned from. */
  modules: number;
  /** Of all of them together. */
  belief: AgeingBelief;
  /** For the modules of each tenth, learned from the other nine tenths. */
  withoutTenth: AgeingBelief[];
  /** ln of the density of the months held out, under this belief less that under the usual one: mean over the modules, with one standard error. */
  gain: number;
  gainUncertainty: number;
  /** Enough modules, and better than the usual belief. */
  used: boolean;
}

/** Modules are put into so many parts by their id, so that none feeds its own belief. */
export const cohortParts = 10;
export const fewestCohortModules = 20;
/** One-sided 5 % of the standard normal distribution. */
const surely = 1.645;

/** Part of the cohort that a module belongs to. */
export const cohortPartOf = (moduleId: number): number => moduleId % cohortParts;

/**
 * The belief about the way of ageing, learned from a cohort's modules (empirical Bayes), for each tenth of them from the
 * other nine (cross-fitting), and whether it predicts the months held out of each module better than the usual
 * belief does: only where the mean gain of ln density is above zero by 1.645 standard errors over at least 20 modules is it used.
 */
export function cohortAgeing(members: readonly { part: number; evidence: CohortEvidence }[]): CohortAgeing {
  const likelihoods = (of: typeof members) => of.map(({ evidence }) => evidence.likelihood);
  const withoutTenth = Array.from({ length: cohortParts }, (_, part) =>
    learnBelief(likelihoods(members.filter((member) => member.part !== part))),
  );
  const gains = members.map(({ part, evidence }) => gainOf(evidence, withoutTenth[part]!));
  const n = gains.length;
  const gain = n > 0 ? mean(gains) : 0;
  const gainUncertainty = n > 1 ? standardDeviation(gains) / Math.sqrt(n) : 0;
  return {
    modules: n,
    belief: learnBelief(likelihoods(members)),
    withoutTenth,
    gain,
    gainUncertainty,
    used: n >= fewestCohortModules && gain > surely * gainUncertainty,
  };
}

/** One module alone decides nothing: its gain is limited to so many units of ln density, one way or the other. */
const mostGain = 5;

function gainOf(evidence: CohortEvidence, belief: AgeingBelief): number {
  const gain = predictive(evidence, belief) - predictive(evidence, usualBelief);
  return Number.isNaN(gain) ? 0 : Math.min(mostGain, Math.max(-mostGain, gain));
}

/** ln density of the months held out, given those before, up to a constant of the module. */
function predictive({ earlier, predicted }: CohortEvidence, belief: AgeingBelief): number {
  const total = (of: ByKind) => ageingKinds.reduce((sum, kind) => sum + belief[kind] * of[kind], 0);
  return Math.log(total(predicted) / total(earlier));
}

/** What a module's forecast is told of its like. */
export interface LikeModules {
  /** Of the same rating, seen for long enough. */
  modules: number;
  belief: AgeingBelief;
}

/** The belief for one module of the cohort, learned without it; `null` where the usual one stays. */
export const beliefFor = (cohort: CohortAgeing, moduleId: number): LikeModules | null =>
  cohort.used ? { modules: cohort.modules, belief: cohort.withoutTenth[cohortPartOf(moduleId)]! } : null;
