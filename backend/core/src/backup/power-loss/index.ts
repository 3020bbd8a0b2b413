export { reviewPowerLoss } from './power-loss.js';
export {
  type CircuitAroundLoss,
  type CircuitLossReview,
  type PowerLossReview,
  type ReviewPowerLossInput,
} from './power-loss-review.js';
export { greatestPassed_kg } from './refrigerant-passed.js';
export { worstAtRestart } from './restart.js';
