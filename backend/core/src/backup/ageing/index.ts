export { type AgeingMonth, ageingMonths } from './ageing-months.js';
export { type ModuleBaseline, baselineOf, ratedBaseline } from './baseline.js';
export { type EsrCourse, esrCourse } from './esr-course.js';
export { type Step } from './find-steps.js';
export { type NormalisedTests, normaliseTests } from './normalised-tests.js';
export { type Trend, reserveTrend } from './reserve-trend.js';
export { type SuddenChange, atTodaysLevel, findSuddenChange, lastStepIndex } from './sudden-change.js';
export { type TemperatureLaw, capacitancePrior, esrPrior } from './temperature-law/index.js';
