export { type AgeAxis, addedAge_s, rootAxis, rootOfAge_s, stepAlong } from './age-axis.js';
export { type AgeingBelief, type AgeingKind, ageingKinds, usualBelief } from './ageing-belief.js';
export {
  type AgeingModel,
  type MeasuredLevels,
  ageSinceChange,
  posteriorModels,
  weighedModels,
} from './bayesian-averaging.js';
export { type FittedModel, fitModel, modelAtQuantile } from './fitted-models.js';
export { doublings } from './model-priors.js';
export { type PaceChange, paceChangeOf } from './pace-change.js';
export { inversePowerTransform, powerTransform } from './power-transform.js';
