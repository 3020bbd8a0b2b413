import type { BackupSettings } from './types.js';

/**
 * What the analysis assumes unless it is told otherwise. Reserve limits and proof validity are the project's own
 * choice; life doubling per 10 K is COMMON PRACTICE, no source.
 */
export const defaultBackupSettings: BackupSettings = {
  proofValidity_d: 180,
  fadingReserve: 1.5,
  unableReserve: 1,
  newPeriod_d: 28,
  lifeDoubling_K: 10,
  horizon_d: 3650,
  warnAhead_d: 365,
  chargerTolerance: 0.05,
  leakageLimit_A_F: 0.0015,
  proofTravel_pct: 10,
  bootstrapDraws: 150,
  seed: 1,
};
