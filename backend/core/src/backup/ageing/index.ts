export { type AgeingMonth, ageingMonths } from './ageing-months.js';
export { type ModuleBaseline, baselineOf, ratedBaseline } from './baseline.js';
export * from './cohort/index.js';
export { type EsrExponent, esrExponent } from './esr-exponent.js';
export { type AgeingBelief, type AgeingKind, ageingKinds, usualBelief } from './models/index.js';
export { type NormalisedTests, normaliseTests } from './normalised-tests.js';
export { type Step } from './steps/index.js';
export { type SuddenChange, adjustedForSteps, findSuddenChange, lastStepIndex } from './sudden-change.js';
export {
  type TemperatureLaw,
  capacitancePrior,
  esrPrior,
  referenceTemperature_K,
} from './temperature-law/index.js';
export { type Trend, reserveTrend } from './trend/index.js';
