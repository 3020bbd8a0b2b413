/**
 * What is kept of one window of one circuit's telemetry: small, JSON-serialisable, without raw traces.
 * Every figure is taken over the steady minutes of the window unless its name says otherwise.
 */

/** Telemetry is judged in windows of this length, s. */
export const window_s = 7200;

/** What the circuit was doing; only `steady` time is judged for steadiness and hunting. */
export const operatingStates = [
  'standing',
  'starting',
  'steady',
  'changing',
  'stopping',
  'reversed',
  'defrost',
  'pump-down',
  'power-lost',
  'silent',
] as const;
export type OperatingState = (typeof operatingStates)[number];
export type StateMinutes = Record<OperatingState, number>;

/** How superheat was held over the steady minutes, but for the minutes after steps of capacity that a thermometer needs to follow. */
export interface Steadiness {
  minutes: number;
  samples: number;
  mean_K: number;
  median_K: number;
  /** Standard deviation, and its robust counterpart from the median absolute deviation. */
  spread_K: number;
  robustSpread_K: number;
  minimum_K: number;
  percentile1_K: number;
  percentile5_K: number;
  percentile95_K: number;
  /** Standard uncertainty of one superheat value from the sensors' tolerances. */
  uncertainty_K: number;
  floodbackLimit_K: number;
  /** Fraction of the steady time under the floodback limit as read. */
  underLimitFraction: number;
  /** Under it even if superheat reads low by two standard uncertainties, and possibly under it if it reads high by as much. */
  surelyUnderLimitFraction: number;
  possiblyUnderLimitFraction: number;
  /** Separate stretches under the limit as read, and surely under it: how many times that was observed. */
  underLimitExcursions: number;
  surelyUnderLimitExcursions: number;
  /** Superheat above which the evaporator is called starved here, and the fraction of the steady time above it. */
  starvedLimit_K: number;
  starvedFraction: number;
  setpoint_K: number | null;
  /** Mean of superheat less setpoint. */
  offset_K: number | null;
}

export interface Oscillation {
  /** null: too little data. */
  oscillating: boolean | null;
  period_s: number | null;
  amplitude: number | null;
  indices: Record<string, number | null>;
}

/** Another signal's part in the superheat's cycle. */
export interface SwingPartner {
  signal: SwingSignal;
  /** Half of the swing at the superheat's period, in the signal's unit. */
  amplitude: number;
  /** Fraction of the signal's own variance that the cycle explains, 0..1. */
  varianceFraction: number;
  /** Squared coherence with superheat around the period, 0..1; null where too short to say. */
  coherence: number | null;
  /** Time by which the signal's crest comes before the superheat's, in cycles, -0.5..0.5. */
  lead_cycles: number;
}
export const swingSignals = [
  'valve-opening',
  'suction-pressure',
  'suction-temperature',
  'discharge-pressure',
  'compressor-load',
  'superheat-setpoint',
  'entering-water',
  'leaving-water',
] as const;
export type SwingSignal = (typeof swingSignals)[number];

export interface WindowOscillation extends Oscillation {
  /** Steady minutes that were looked at, and of these how many hunted (they differ in windows longer than 2 h). */
  judgedMinutes: number;
  huntingMinutes: number;
  cycles: number | null;
  /** The superheat's crest nearest to the middle of the stretch, s since the epoch; with neighbours it tells who leads. */
  crest_s: number | null;
  /** Friction in the valve against anything else, from opening and superheat. */
  origin: 'valve-friction' | 'not-valve-friction' | 'undecided' | null;
  originIndices: Record<string, number | null>;
  partners: SwingPartner[];
  shape: CycleShape | null;
}

/** Size of the opening's swings, from one reversal to the next, for telling what holds a cycle at its size. */
export interface CycleShape {
  swings: number;
  openingSwing_pct: number;
  /**
   * Standard deviation of the swings over their mean. A cycle that only noise keeps going varies in size as Rayleigh's
   * law has it (0.52); one that friction or a limit holds at its size varies little.
   */
  openingSwingScatter: number;
}

/** Travel and reversals over all observed minutes of the window; where the valve stood over the running ones. */
export interface ValveUse {
  minutes: number;
  runningMinutes: number;
  /** Sum of all moves over full stroke. */
  travel_strokes: number;
  reversals: number;
  mean_pct: number;
  minimum_pct: number;
  maximum_pct: number;
  /** Fraction of the running time at or under 10 %, and at or over 95 %. */
  nearShutFraction: number;
  nearOpenFraction: number;
  /** How far its moves go together with superheat's, -1..1 (`followsSuperheat`); null: not told. */
  followsSuperheat: number | null;
}

/** Means over the steady minutes; null where nothing was sent. */
export interface RunningConditions {
  compressorLoad_pct: number | null;
  valveOpening_pct: number | null;
  evaporatingTemperature_K: number | null;
  condensingTemperature_K: number | null;
  subcooling_K: number | null;
  dischargeTemperature_K: number | null;
  enteringWaterTemperature_K: number | null;
  leavingWaterTemperature_K: number | null;
  ambientTemperature_K: number | null;
}

export interface WindowJudgement {
  /** First and last time of the window's samples, s since the epoch. */
  from_s: number;
  to_s: number;
  sampleCount: number;
  /** Median spacing of the samples; null under two samples. */
  interval_s: number | null;
  minutes: StateMinutes;
  /** null: no steady time. */
  superheat: Steadiness | null;
  oscillation: WindowOscillation;
  valve: ValveUse | null;
  conditions: RunningConditions;
}
