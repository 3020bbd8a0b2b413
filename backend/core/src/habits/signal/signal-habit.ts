import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { ReportingHabit } from '../../telemetry/registry.js';
import type { ClockDelay } from './clock-delay.js';
import { quantisationNoise } from './resolution.js';

export type SignalName = Exclude<keyof CircuitSeries, 'time_s'>;

/** What the registry says of how a unit's signals come and what it can do. */
export interface SiteFacts {
  reversible?: boolean | undefined;
  /** Null or left out: learned. */
  reporting?: ReportingHabit | null | undefined;
  /** What days of telemetry told of the circuit's signals, where a shorter stretch is judged. */
  learned?: SeriesHabits | null | undefined;
}

/** How one signal of a circuit comes. */
export interface SignalHabit {
  reporting: ReportingHabit;
  resolution: number;
  deadband: number;
  interval_s: number | null;
  /** How long a value may stand for the present, s. */
  hold_s: number;
  /** How long its value hardly ever stands to the last digit, s; null: too few values to say. */
  longestUnchanged_s: number | null;
  /** Wrong single samples, and the time over which they were counted. */
  glitches: number;
  observed_s: number;
  /** Values that stand for a missing one. */
  defaults?: readonly number[] | undefined;
  /** A signal in percent that comes as a fraction of one. */
  fractionOfOne?: boolean | undefined;
}

/** How a circuit's signals come: learned from its telemetry, or partly said by the registry. */
export interface SeriesHabits {
  reporting: ReportingHabit;
  signals: Record<SignalName, SignalHabit>;
  /** Median spacing of the rows, s; null under two. */
  rowInterval_s: number | null;
  /** Silence of the whole gateway after which nothing that it sent before stands for the present, s. */
  silence_s: number;
  /** Delay of a signal against starts and stops of the compressor, where they tell. */
  delays: Partial<Record<SignalName, ClockDelay>>;
  /** Some signals' clocks are so far apart that which of two moves first cannot be told. */
  clocksApart: boolean;
}

/** Largest difference between what is shown and what was measured: half a step, and the deadband of what is sent on change. */
export const shownWithin = ({ resolution, deadband }: Pick<SignalHabit, 'resolution' | 'deadband'>): number =>
  resolution / 2 + deadband;

/**
 * Standard deviation that the sending adds: rounding q / sqrt(12), and a deadband d within which the value lies anywhere
 * to either side, d / sqrt(3) (uniform distributions, JCGM 100:2008, 4.3.7).
 */
export const sendingNoise = ({
  resolution,
  deadband,
}: Pick<SignalHabit, 'resolution' | 'deadband'>): number =>
  Math.hypot(quantisationNoise(resolution), deadband / Math.sqrt(3));
