export * from './settings.js';
export * from './errors.js';
export {
  type CapacitorEstimate,
  type ClosingDemand,
  type ClosingJudgement,
  type ClosingTrace,
  type Discharge,
  type JudgeClosingInput,
  type ProofState,
  circuitsOf,
  closingDemand,
  estimateCapacitor,
  failedToShut,
  judgeClosing,
  longestDrive,
  proofState,
  shutOpening_pct,
} from './closing/index.js';
export {
  type AgeingBelief,
  type AgeingKind,
  type CohortAgeing,
  type CohortEvidence,
  type LikeModules,
  ageingKinds,
  beliefFor,
  cohortAgeing,
  cohortEvidence,
  cohortPartOf,
  cohortParts,
  fewestCohortModules,
  fewestCohortMonths,
  usualBelief,
} from './ageing/index.js';
export type { AgeingMonth, ModuleBaseline, SuddenChange, TemperatureLaw } from './ageing/index.js';
export {
  type BackupCell,
  type BackupRuntime,
  type LimitDate,
  type Range,
  type RefusalReason,
  type ReserveCase,
  type ReserveForecast,
  type ReserveNow,
  type ReservePoint,
  backupRuntime,
} from './reserve/index.js';
export {
  type ChargerAssessment,
  type HealthAssessment,
  type LeakageAssessment,
  type ModuleReadings,
  type PowerLoss,
  type WeakCellAssessment,
  findPowerLosses,
} from './resting/index.js';
export * from './power-loss/index.js';
export type { EarlierAssessment } from './earlier.js';
export * from './module-assessment.js';
export * from './assess-module.js';
