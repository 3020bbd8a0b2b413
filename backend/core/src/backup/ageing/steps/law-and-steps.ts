import { findSteps, scatterOfTests, type Step } from './find-steps.js';
import {
  capacitancePrior,
  esrPrior,
  fitLaw,
  lawFromDifferences,
  type LawFit,
  type Prior,
  referenceTemperature_K,
} from '../temperature-law/index.js';

/** The constants that differ between capacitance and ESR; all of the logarithm. */
export interface TestedQuantity {
  prior: Prior;
  /** Smaller steps do not matter, however significant. */
  leastStep: number;
  /** Scatter of one test: never less than the first, and the second where it cannot be seen. */
  leastScatter: number;
  unseenScatter: number;
}

export const capacitanceOfTests: TestedQuantity = {
  prior: capacitancePrior,
  leastStep: 0.05,
  leastScatter: 0.001,
  unseenScatter: 0.01,
};
export const esrOfTests: TestedQuantity = {
  prior: esrPrior,
  leastStep: 0.25,
  leastScatter: 0.005,
  unseenScatter: 0.05,
};

const mostSteps = 5;

/**
 * The temperature law of a quantity and the sudden changes in it. Steps are sought first, with a first estimate of the law
 * from differences between neighbours, so that the law does not take them for temperature or age.
 *
 * @param ln logarithm of each test's value, in time order
 * @param age_s age weighted by temperature
 */
export function lawAndSteps(
  { prior, leastStep, leastScatter, unseenScatter }: TestedQuantity,
  ln: Float64Array,
  temperature_K: Float64Array,
  time_s: Float64Array,
  age_s: Float64Array,
): { law: LawFit; steps: Step[]; scatter: number } {
  const perK = lawFromDifferences(ln, temperature_K, prior);
  const roughly = ln.map((value, i) => value - perK * (temperature_K[i]! - referenceTemperature_K));
  const scatter = Math.max(leastScatter, scatterOfTests(roughly) || unseenScatter);
  const steps = findSteps(roughly, time_s, leastStep, scatter).slice(-mostSteps);
  const law = fitLaw(
    ln,
    temperature_K,
    age_s,
    steps.map((step) => step.index),
    prior,
    scatter,
  );
  return { law, steps, scatter };
}
