import type { NormalisedTests } from './normalised-tests.js';

export interface SuddenChange {
  at_s: number;
  /** Tests after the change that confirm it, the first included. */
  tests: number;
  /** With one standard uncertainty each. */
  capacitanceRatio: number | null;
  capacitanceRatioUncertainty: number | null;
  esrRatio: number | null;
  esrRatioUncertainty: number | null;
  reserveRatio: number;
}

/** First test after the last step of capacitance: the present state is judged by it and those after it. */
export const lastStepIndex = (tests: NormalisedTests): number =>
  tests.capacitanceSteps[tests.capacitanceSteps.length - 1]?.index ?? 0;

/** Capacitances corrected for sudden changes: those before a change scaled to the level after it. */
export function adjustedForSteps(tests: NormalisedTests, capacitance_F: Float64Array): Float64Array {
  const out = capacitance_F.slice();
  for (const step of tests.capacitanceSteps) {
    const ratio = Math.exp(step.size);
    for (let i = 0; i < step.index; i++) out[i]! *= ratio;
  }
  return out;
}

/** The last step for the worse, unless a later step has undone it. */
export function findSuddenChange(
  tests: NormalisedTests,
  reserve: (capacitance_F: number, esr_Ohm: number) => number,
): SuddenChange | null {
  const capacitance = tests.capacitanceSteps[tests.capacitanceSteps.length - 1];
  const esr = tests.esrSteps[tests.esrSteps.length - 1];
  const capacitanceLoss = capacitance && capacitance.size < 0 ? capacitance : null;
  const esrRise = esr && esr.size > 0 ? esr : null;
  const step =
    capacitanceLoss && esrRise
      ? capacitanceLoss.index >= esrRise.index
        ? capacitanceLoss
        : esrRise
      : (capacitanceLoss ?? esrRise);
  if (!step) return null;
  const near = (other: typeof step | null) => other !== null && Math.abs(other.index - step.index) <= 1;
  const capacitanceRatio = near(capacitanceLoss) ? Math.exp(capacitanceLoss!.size) : null;
  const esrRatio = near(esrRise) ? Math.exp(esrRise!.size) : null;
  const c = Math.exp(tests.lnCapacitance[step.index]!);
  const r = tests.esrLaw ? Math.exp(tests.esrLaw.smooth(tests.temperature_K[step.index]!)[step.index]!) : 0;
  const beforeReserve = reserve(c / (capacitanceRatio ?? 1), r / (esrRatio ?? 1));
  return {
    at_s: tests.time_s[step.index]!,
    tests: tests.tests.length - step.index,
    capacitanceRatio,
    capacitanceRatioUncertainty: capacitanceRatio && capacitanceRatio * capacitanceLoss!.uncertainty,
    esrRatio,
    esrRatioUncertainty: esrRatio && esrRatio * esrRise!.uncertainty,
    reserveRatio: beforeReserve > 0 ? reserve(c, r) / beforeReserve : 0,
  };
}
