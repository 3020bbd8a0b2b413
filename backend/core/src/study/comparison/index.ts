export { changeEffect, type ChangeEffect, type ChangeRow } from './before-and-after.js';
export {
  compareGroups,
  leastCompared,
  type Balance,
  type ComparedRows,
  type GroupComparison,
} from './compare-groups.js';
export type { Covariate } from './covariates.js';
export {
  resampledByUnit,
  resampledFigure,
  type ResampledFigure,
  type ResamplingOptions,
} from './unit-resampling.js';
