export { type MeasuredLevels, posteriorModels } from './bayesian-averaging.js';
export { type FittedModel, fitModel, modelAtQuantile } from './fitted-models.js';
export { type AgeAxis, doublings } from './model-priors.js';
export { type PaceChange, paceChangeOf } from './pace-change.js';
export { inversePowerTransform, powerTransform } from './power-transform.js';
