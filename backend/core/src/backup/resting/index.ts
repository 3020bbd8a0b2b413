export { type HealthAssessment, assessHealth } from './health-contact.js';
export {
  type ModuleReadings,
  type OpenCircuitDecay,
  type PowerLoss,
  type RestingFigures,
  findPowerLosses,
  openCircuitDecay,
  restingFigures,
} from './module-readings.js';
export {
  type ChargerAssessment,
  type LeakageAssessment,
  type WeakCellAssessment,
  assessCharger,
  assessLeakage,
  assessWeakCell,
} from './resting-state.js';
