export interface BackupSettings {
  /** A closing older than this no longer proves that the module can shut the valve, days. */
  proofValidity_d: number;
  /** Limits of the reserve: fading under the first, unable to close under the second. */
  fadingReserve: number;
  unableReserve: number;
  /** Tests in so many days from the first one give the module's own new value. */
  newPeriod_d: number;
  /** Life doubles per this many K lower. */
  lifeDoubling_K: number;
  /** Forecast no further than this, days. */
  horizon_d: number;
  /** A date under the fading limit nearer than this is a finding, days. */
  warnAhead_d: number;
  /** Charged voltage may be this fraction below the rated voltage. */
  chargerTolerance: number;
  /** Leakage over this, per farad at 298.15 K, is a finding, A/F. */
  leakageLimit_A_F: number;
  /** Travel that a closing must show to prove anything, %. */
  proofTravel_pct: number;
  bootstrapDraws: number;
  /** Makes the bootstrap repeatable: the same data and seed give the same interval. */
  seed: number;
}

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
