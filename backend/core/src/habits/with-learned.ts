import { circuitSeriesColumns } from '../telemetry/circuit-series.js';
import type { SeriesHabits } from './signal/signal-habit.js';

/**
 * How signals come in a stretch of hours, with what only days tell: that a gateway sends on change although little
 * changed in the stretch, and then for how long its values stand; that clocks are apart, which needs several stops; which
 * values stand for a missing one, and that percent come as fractions. All else the stretch says of itself.
 */
export function withLearned(own: SeriesHabits, learned: SeriesHabits | null | undefined): SeriesHabits {
  if (!learned) return own;
  if (learned.reporting === 'on-change') return learned;
  const signals = { ...own.signals };
  for (const name of circuitSeriesColumns) {
    const { defaults, fractionOfOne } = learned.signals[name];
    if (defaults || fractionOfOne) signals[name] = { ...signals[name], defaults, fractionOfOne };
  }
  return { ...own, signals, delays: learned.delays, clocksApart: own.clocksApart || learned.clocksApart };
}

/** Habits that tell more of a later stretch than it tells of itself; null where there is nothing to remember. */
export const toRemember = (habits: SeriesHabits): SeriesHabits | null =>
  habits.reporting === 'on-change' ||
  habits.clocksApart ||
  circuitSeriesColumns.some((name) => habits.signals[name].defaults || habits.signals[name].fractionOfOne)
    ? habits
    : null;
