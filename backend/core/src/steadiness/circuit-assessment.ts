import type { Explanation, Finding } from '../diagnosis/finding.js';
import type { Statement } from '../diagnosis/statement.js';
import type { StateMinutes } from './windows/window-judgement.js';

/** A day or a week of windows, weighted by their steady minutes. */
export interface SpanSummary {
  /** Start of the span, s since the epoch: 0 h UTC; weeks begin on Monday. */
  from_s: number;
  to_s: number;
  windows: number;
  minutes: StateMinutes;
  steadyMinutes: number;
  mean_K: number | null;
  /** Spread of all values of the span: within windows and between them. */
  spread_K: number | null;
  /** Lowest of the windows' first percentiles. */
  lowest_K: number | null;
  underLimitFraction: number | null;
  surelyUnderLimitFraction: number | null;
  starvedFraction: number | null;
  offset_K: number | null;
  /** Of the minutes judged for hunting, the share that hunted; null: none judged. */
  huntingFraction: number | null;
  travel_strokes: number;
  reversals: number;
  /** Observed minutes behind travel and reversals. */
  observedMinutes: number;
}

/** One part of the steady floor's curve. */
export interface FloorPart {
  from: number;
  to: number;
  /** Lowest superheat seen to be held steadily in this part, at its middle; null: too little data, or no clear lower end. */
  floor_K: number | null;
  /** Standard uncertainty: sensors, scatter of the windows and doubt of the limit; of an upper bound, how far down the circuit was not seen. */
  uncertainty_K: number | null;
  /** The highest superheat under the floor at which the circuit hunted or was restless here; null: never seen so, the floor may lie lower. */
  huntedUpTo_K: number | null;
  /** Whether the circuit was seen restless close below and steady close above, and often enough: the floor lies there. Else it is an upper bound. */
  bracketed: boolean;
  steadyWindows: number;
  /** Windows that hunted or were restless. */
  huntingWindows: number;
  steadyHours: number;
}

export interface SteadyFloor {
  against: 'compressor-load' | 'valve-opening';
  /** Percent, ascending; only parts in which anything was seen. */
  parts: FloorPart[];
  /** Windows as points, for the picture. */
  points: FloorPoint[];
}

export interface FloorPoint {
  from_s: number;
  at: number;
  superheat_K: number;
  spread_K: number;
  hunting: boolean;
  /** Neither hunting nor moving more than the circuit does when it is calm. */
  steady: boolean;
}

export interface Headroom {
  /** Superheat held, less steady floor and safety margin, weighted over the parts with a floor. */
  headroom_K: number;
  uncertainty_K: number;
  held_K: number;
  floor_K: number;
  safetyMargin_K: number;
  /** Fraction of the steady time that the claim covers. */
  coveredFraction: number;
  /** Fraction of the compressor's energy that the headroom may stand for. */
  energyFraction: number;
  assumption: Statement;
}

export const huntingCauses = [
  'valve-friction',
  'loop-too-tight',
  'valve-too-large',
  'load-or-water-swings',
  'under-steady-floor',
  'circuits-disturb-each-other',
  'measurement-noise',
] as const;
export type HuntingCause = (typeof huntingCauses)[number];

export interface CauseExplanation extends Explanation {
  key: HuntingCause;
}

export interface HuntingAssessment {
  huntingMinutes: number;
  judgedMinutes: number;
  windows: number;
  period_s: number;
  amplitude_K: number;
  firstSeen_s: number;
  lastSeen_s: number;
  /** Likeliest first; empty where the evidence does not tell. */
  causes: CauseExplanation[];
  separatingCheck: Statement | null;
}

export interface ValveWear {
  /** Per day of 24 h of observed time, standing included. */
  travel_strokes_per_day: number;
  reversals_per_day: number;
  observedDays: number;
  /** Fraction of the fleet that moves less; null without fleet values. */
  fleetTravelPercentile: number | null;
  fleetReversalPercentile: number | null;
  /** How long the valve lasts at this pace by its rated life, and what is left of that; null: it hardly moves; not in service since a known day. */
  life_years: number | null;
  left_years: number | null;
  /** null: the maker does not give it. */
  ratedStrokes: number | null;
  ratedReversals: number | null;
  /** The rated life is the maker's, by the registry; else common practice. */
  ratedByMaker: boolean;
  /** The samples are so far apart that moves are missed. */
  lowerBound: boolean;
}

/** The other circuits' figures to compare with, one per circuit, per day. */
export interface FleetWear {
  travel_strokes_per_day: number[];
  reversals_per_day: number[];
}

export interface CircuitAssessment {
  circuit: number;
  from_s: number | null;
  to_s: number | null;
  windows: number;
  /** Over all windows given. */
  summary: SpanSummary | null;
  /** Over the last seven days, the day of the last window counted: what findings, wear and the pages are of. */
  lastWeek: SpanSummary | null;
  days: SpanSummary[];
  weeks: SpanSummary[];
  floor: SteadyFloor | null;
  headroom: Headroom | null;
  /** null: not hunting, or too little data (see `huntingKnown`). */
  hunting: HuntingAssessment | null;
  /** false: too little steady time to say whether it hunts. */
  huntingKnown: boolean;
  wear: ValveWear | null;
  findings: Finding[];
}
