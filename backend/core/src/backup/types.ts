import type { Finding, Statement } from '../diagnosis/index.js';
import type { CircuitEntry, CircuitSeries, ModuleEntry } from '../telemetry/index.js';
import type { AgeingMonth } from './ageing-months.js';

/**
 * What a closing sent, as columns of one length. A value that was not sent is `null` or `NaN`.
 * Time counts from the start of the closing and may begin before 0; current is positive while the module delivers.
 */
export interface ClosingTrace {
  time_s: ArrayLike<number>;
  voltage_V: ArrayLike<number | null>;
  current_A: ArrayLike<number | null>;
  valveOpening_pct: ArrayLike<number | null>;
}

export interface JudgeClosingInput {
  trace: ClosingTrace;
  module: ModuleEntry;
  /** The unit's circuits; only those that the module shuts are used. */
  circuits: CircuitEntry[];
  /** Module temperature at the closing, `null` when it was not sent. */
  temperature_K: number | null;
  startedAt_s: number;
  /** Mains contact at the time: 1 present, 0 gone, `null` unknown. */
  mains: 0 | 1 | null;
}

/** One closing, judged. Plain numbers only, so that hundreds of them are cheap to keep and to read. */
export interface ClosingJudgement {
  startedAt_s: number;
  /** `power-loss` only where the mains contact was seen gone; everything else counts as a self-test. */
  kind: 'self-test' | 'power-loss';
  /** False where the mains contact was not known, so that `kind` is an assumption. */
  kindSeen: boolean;
  temperature_K: number | null;
  samples: number;
  /** Median sample spacing while the module delivered, s. */
  sampling_s: number | null;
  capacitance_F: number | null;
  capacitanceUncertainty_F: number | null;
  capacitanceMethod: 'iec-window' | 'least-squares' | null;
  esr_Ohm: number | null;
  esrUncertainty_Ohm: number | null;
  /** Mean current while the module delivered. */
  current_A: number | null;
  /** Mean power taken from the module while it drove, measured. */
  drivePower_W: number | null;
  voltageBefore_V: number | null;
  voltageAfter_V: number | null;
  voltageLowest_V: number | null;
  /** Integral of voltage times current while the module delivered. */
  energyUsed_J: number | null;
  /** How long the module delivered drive power, s. */
  driveTime_s: number | null;
  openingBefore_pct: number | null;
  openingAfter_pct: number | null;
  /** From the start until the valve was first seen shut, s. */
  timeToShut_s: number | null;
  /** `null`: the telemetry cannot say. */
  shut: boolean | null;
  /** True where the valve was seen to travel and to end shut on stored energy. */
  proof: boolean;
  /** Energy that this closing should have needed from where it began, by steps, rate and drive power. */
  energyExpected_J: number | null;
  /** Why something above is missing, in plain sentences. */
  limits: Statement[];
}

/** A value with its P10 and P90. */
export interface Range {
  p10: number;
  p50: number;
  p90: number;
}

export interface ReservePoint {
  time_s: number;
  /** Reserve at the lowest temperature seen, from fully open. */
  reserve: number;
  /** One standard uncertainty of this one point, `null` where the curve gave none. */
  uncertainty: number | null;
  /** Tests joined into this point by their median: 1 for the last weeks, several further back. */
  tests: number;
  /** Whether any of them was a proof closing. */
  proof: boolean;
}

/** Reserve in one situation. */
export interface ReserveCase {
  situation: 'fully-open-coldest' | 'fully-open-now' | 'present-opening';
  reserve: number;
  interval: { p10: number; p90: number };
  usableEnergy_J: number;
  closingEnergy_J: number;
  temperature_K: number;
  opening_pct: number;
  voltage_V: number;
  capacitance_F: number;
  esr_Ohm: number;
}

export type ReserveNow =
  | {
      state: 'known';
      /** Worst case first; the first is the closing reserve that screens show. */
      cases: ReserveCase[];
      /** How many tests it stands on, and when the last of them was. */
      closings: number;
      lastClosing_s: number;
      /** Whether ESR was measured or is the rated value taken for want of finely sampled tests. */
      esrFrom: 'measured' | 'rated';
      standsOn: Statement[];
    }
  | { state: 'unknown'; reason: Statement };

export type RefusalReason =
  | 'too-few-tests'
  | 'too-short-a-time'
  | 'slope-not-distinguishable'
  | 'changed-suddenly'
  | 'no-temperature'
  | 'beyond-horizon';

/** Date at which the reserve falls under a limit, s since the epoch. */
export interface LimitDate {
  limit: number;
  state: 'forecast' | 'already-under' | 'beyond-horizon';
  /** `null` unless forecast. A bound beyond the horizon is given as the horizon, and said in `openEnded`. */
  date_s: Range | null;
  /** True where P90 lies beyond the horizon. */
  openEnded: boolean;
}

export type ReserveForecast =
  | {
      state: 'forecast';
      /** Loss of capacitance, and so of stored energy, in a year at the temperatures seen, as a share of the present one. */
      lossPerYear: Range;
      /** Under 1.5 and under 1.0 (settings). */
      limits: LimitDate[];
      horizon_s: number;
      standsOn: Statement[];
    }
  | { state: 'refused'; reason: RefusalReason; sentence: Statement };

export type ProofState =
  | { state: 'proven'; lastProof_s: number; age_s: number; kind: 'self-test' | 'power-loss' }
  | {
      state: 'unproven';
      reason: 'no-closing' | 'too-old' | 'telemetry-too-coarse' | 'did-not-shut' | 'no-travel';
      lastProof_s: number | null;
      sentence: Statement;
    };

export interface LeakageAssessment {
  state: 'normal' | 'leaking' | 'unknown';
  /** Charging current that the module keeps drawing when full, A (positive = into the module). */
  floatCurrent_A: number | null;
  /** Leakage worked out from the fall of voltage with nothing drawn from it, A. */
  decayCurrent_A: number | null;
  limit_A: number;
  /** Time from full until the reserve falls under 1 with the mains gone and the valve not yet driven, s. */
  timeToUnable_s: number | null;
}

export interface WeakCellAssessment {
  state: 'none-seen' | 'suspected' | 'unknown';
  sign: 'shorted-cell' | 'lost-cell-capacitance' | 'decay-stops-after-one-cell' | null;
  /** Of the string, by the sign. */
  cellsAffected: number | null;
}

export interface ChargerAssessment {
  state: 'reaches' | 'under-voltage' | 'unknown';
  voltage_V: number | null;
  target_V: number;
}

export interface HealthAssessment {
  state: 'good' | 'fault' | 'stuck' | 'unknown';
  /** Since when the contact has read as it does, or against the evidence, s since the epoch. */
  since_s: number | null;
  /** What a stuck contact contradicts: `null` unless stuck. */
  sign: 'good-under-minimum-voltage' | 'good-without-reserve' | 'no-longer-follows' | null;
}

/** The module at its own new value, at 298.15 K and its usual current. */
export interface ModuleBaseline {
  capacitance_F: number | null;
  esr_Ohm: number | null;
  /** `own`: median of the first weeks; `rated`: the registry's value for want of early tests. */
  from: 'own' | 'rated';
  tests: number;
}

export interface TemperatureLaw {
  /** ln C rises by this per K. */
  capacitancePerK: number;
  capacitancePerKUncertainty: number;
  /** ln ESR changes by this per K (negative: falls with temperature). */
  esrPerK: number;
  esrPerKUncertainty: number;
  from: 'learned' | 'prior';
  span_K: number;
}

export interface SuddenChange {
  at_s: number;
  /** Tests after the change that confirm it, the first included. */
  tests: number;
  /** With one standard uncertainty each. */
  capacitanceRatio: number | null;
  capacitanceRatioUncertainty: number | null;
  esrRatio: number | null;
  esrRatioUncertainty: number | null;
  reserveRatio: number;
}

export interface ModuleAssessment {
  module: number;
  /** By the registry; another date later on means another module in the same place. */
  installedOn: string;
  assessedAt_s: number;
  reserve: ReserveNow;
  reserveHistory: ReservePoint[];
  forecast: ReserveForecast;
  proof: ProofState;
  leakage: LeakageAssessment;
  weakCell: WeakCellAssessment;
  charger: ChargerAssessment;
  health: HealthAssessment;
  /** Now, at 298.15 K and the usual current, each with one standard uncertainty; `null` where no test gave it. */
  capacitance_F: number | null;
  capacitanceUncertainty_F: number | null;
  esr_Ohm: number | null;
  esrUncertainty_Ohm: number | null;
  baseline: ModuleBaseline;
  /** Months with a comparable test, in time order. */
  ageing: AgeingMonth[];
  temperatureLaw: TemperatureLaw;
  suddenChange: SuddenChange | null;
  /** Age weighted by temperature since the first test, in days at 298.15 K. */
  weightedAge_d: number | null;
  lowestTemperature_K: number | null;
  findings: Finding[];
}

/** Columns of the module's readings, in time order; a missing value is `NaN`. */
export interface ModuleReadings {
  time_s: Float64Array;
  voltage_V: Float64Array;
  current_A: Float64Array;
  temperature_K: Float64Array;
  mains: Float64Array;
  health: Float64Array;
}

export interface BackupSettings {
  /** A proof closing older than this no longer proves, days. */
  proofValidity_d: number;
  /** Reserve limits, worst first shown: fading under the first, unable under the second. */
  fadingReserve: number;
  unableReserve: number;
  /** Tests in the first this many days give the module's own new value. */
  newPeriod_d: number;
  /** Life doubles per this many K lower. */
  lifeDoubling_K: number;
  /** Forecast no further than this, days. */
  horizon_d: number;
  /** A date under the fading limit nearer than this is a finding, days. */
  warnAhead_d: number;
  /** Charged voltage may be this share under the rated voltage. */
  chargerTolerance: number;
  /** Leakage over this, per farad at 298.15 K, is a finding, A/F. */
  leakageLimit_A_F: number;
  /** Travel that a closing must show to prove anything, %. */
  proofTravel_pct: number;
  bootstrapDraws: number;
  /** Makes the bootstrap repeatable: the same data and seed give the same interval. */
  seed: number;
}

export interface AssessModuleInput {
  module: ModuleEntry;
  circuits: CircuitEntry[];
  /** Time order, the last 400 days at most. */
  closings: ClosingJudgement[];
  /** The last 7 to 30 days. */
  readings: ModuleReadings;
  now_s: number;
  /** Opening of the module's valves now, for the reserve from there; left out where unknown. */
  presentOpening_pct?: number | null;
  /** What is in the circuits, for the cautions; left out where unknown. */
  refrigerant?: string;
  /** What the last assessment knew, for what the closings no longer reach back to; left out where there was none. */
  earlier?: EarlierAssessment | null;
  settings?: Partial<BackupSettings>;
}

/** What is kept of an assessment beyond the reach of the closings that it stood on. */
export type EarlierAssessment = Pick<ModuleAssessment, 'installedOn' | 'baseline' | 'ageing'>;

/** One stretch with the mains contact gone. */
export interface PowerLoss {
  from_s: number;
  /** `null`: still gone at the last reading. */
  to_s: number | null;
}

export interface CircuitAroundLoss {
  circuit: number;
  refrigerant: string;
  /** Some minutes before, and up to some hours after, the loss; the restart included where it came. */
  series: CircuitSeries;
}

export interface ReviewPowerLossInput {
  module: ModuleEntry;
  circuits: CircuitEntry[];
  loss: PowerLoss;
  /** The closing that the loss set off, where one was sent. */
  closing: { judgement: ClosingJudgement; trace: ClosingTrace } | null;
  around: CircuitAroundLoss[];
  /** When the valve was last seen to shut on stored energy: a loss before it asks for nothing any more. */
  lastProof_s?: number | null;
}

export interface CircuitLossReview {
  circuit: number;
  openingBefore_pct: number | null;
  openingAfter_pct: number | null;
  suctionPressureBefore_Pa: number | null;
  dischargePressureBefore_Pa: number | null;
  /** Difference between high and low side when the loss began, and the time until it had halved and had gone under 5 %. */
  pressureHalved_s: number | null;
  pressureMet_s: number | null;
  /**
   * Refrigerant that can at most have passed through what stayed open, kg; an upper bound, and never more than the
   * charge where the registry has it. `null`: cannot be said.
   */
  refrigerantPassedAtMost_kg: number | null;
  /** Whether the charge, not the orifice, sets that bound. */
  wholeChargeCanHavePassed: boolean;
  restartAt_s: number | null;
  /** Least superheat in the first ten minutes after the restart. */
  restartLeastSuperheat_K: number | null;
  /** Time under the floodback limit in those ten minutes, s. */
  restartUnderFloodback_s: number | null;
}

export interface PowerLossReview {
  module: number;
  from_s: number;
  to_s: number | null;
  duration_s: number | null;
  closingSent: boolean;
  shut: boolean | null;
  openingBefore_pct: number | null;
  openingAfter_pct: number | null;
  timeToShut_s: number | null;
  voltageBefore_V: number | null;
  voltageAfter_V: number | null;
  energyUsed_J: number | null;
  circuits: CircuitLossReview[];
  outcome: 'shut' | 'did-not-shut' | 'floodback-at-restart' | 'unknown';
  /** One sentence; the caution that belongs to it is the second. */
  verdict: Statement;
  caution: Statement;
  findings: Finding[];
}
