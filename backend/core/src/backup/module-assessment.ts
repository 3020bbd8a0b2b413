import type { Finding } from '../diagnosis/index.js';
import type { CircuitEntry, ModuleEntry } from '../telemetry/index.js';
import type {
  AgeingMonth,
  LikeModules,
  ModuleBaseline,
  SuddenChange,
  TemperatureLaw,
} from './ageing/index.js';
import type { ClosingJudgement, ProofState } from './closing/index.js';
import type { EarlierAssessment } from './earlier.js';
import type { ReserveForecast, ReserveNow, ReservePoint } from './reserve/index.js';
import type {
  HealthAssessment,
  ModuleReadings,
  ChargerAssessment,
  LeakageAssessment,
  WeakCellAssessment,
} from './resting/index.js';
import type { BackupSettings } from './settings.js';

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

/** The part of an assessment that follows from the tests. */
export type AssessmentByTests = Pick<
  ModuleAssessment,
  | 'reserve'
  | 'reserveHistory'
  | 'forecast'
  | 'leakage'
  | 'weakCell'
  | 'capacitance_F'
  | 'capacitanceUncertainty_F'
  | 'esr_Ohm'
  | 'esrUncertainty_Ohm'
  | 'baseline'
  | 'temperatureLaw'
  | 'suddenChange'
  | 'weightedAge_d'
>;

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
  /** How modules of the same rating age, learned without this one; left out where that is not known well enough. */
  like?: LikeModules | null;
  settings?: Partial<BackupSettings>;
}
