import type { NormalisedTests } from './normalised-tests.js';

/** ESR rises as C^-m while both age: m of this module, with one standard uncertainty. */
export interface EsrExponent {
  exponent: number;
  uncertainty: number;
}

/**
 * COMMON PRACTICE, no source: end of life is C -20 % or ESR +100 %, which together are m of about 3; cells differ
 * widely, so a broad prior around 2.5. What the module itself has shown narrows it.
 */
const esrExponentPrior: EsrExponent = { exponent: 2.5, uncertainty: 1.5 };

/** The prior, updated by the change of ESR and capacitance from the first test to the last, without sudden changes. */
export function esrExponent(tests: NormalisedTests): EsrExponent {
  const prior = esrExponentPrior;
  if (!tests.esrLaw || tests.esrTests < 12) return prior;
  const n = tests.tests.length;
  const lnC = tests.capacitanceLaw.smooth(298.15);
  const lnR = tests.esrLaw.smooth(298.15);
  const from = tests.esrFrom;
  let dC = lnC[n - 1]! - lnC[from]!;
  let dR = lnR[n - 1]! - lnR[from]!;
  // Sudden changes are not ageing.
  for (const step of tests.capacitanceSteps) if (step.index > from) dC -= step.size;
  for (const step of tests.esrSteps) dR -= step.size;
  if (!(dC < -0.02)) return prior;
  const ends = Math.sqrt(18 / tests.esrTests);
  const seen = -dR / dC;
  const error = Math.hypot(
    (tests.esrLaw.residualSpread * ends) / dC,
    (seen * tests.capacitanceLaw.residualSpread * ends) / dC,
  );
  const a = 1 / prior.uncertainty ** 2;
  const b = 1 / Math.max(1e-6, error * error);
  return { exponent: (a * prior.exponent + b * seen) / (a + b), uncertainty: 1 / Math.sqrt(a + b) };
}
