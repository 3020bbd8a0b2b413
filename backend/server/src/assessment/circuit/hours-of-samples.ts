import {
  hoursOfSamples,
  window_s,
  type CircuitSeries,
  type HourOfSamples,
  type SeriesHabits,
} from '@coldrounds/core';
import { firstAt } from './slices.js';

export interface SamplesOfWindow {
  /** The samples of the window, as they were sent. */
  own: CircuitSeries;
  habits: SeriesHabits;
  /** The longer series of which they are a part, and what the store has around that. */
  stretch: CircuitSeries;
  around: { before_s: number | null; after: boolean };
  start_s: number;
}

/**
 * What came in the hours of an ended window, against what the sampling of the suction pressure promises; that signal
 * comes from every circuit. Empty where it is sent on change or not evenly.
 */
export function hoursInWindow({ own, habits, stretch, around, start_s }: SamplesOfWindow): HourOfSamples[] {
  if (habits.reporting !== 'sampled' || habits.signals.suctionPressure_Pa.reporting !== 'sampled') return [];
  const end_s = start_s + window_s;
  const before = firstAt(stretch.time_s, start_s);
  return (
    hoursOfSamples(
      own.time_s.filter((_, i) => !Number.isNaN(own.suctionPressure_Pa[i])),
      { from_s: start_s, to_s: end_s },
      {
        before_s: before > 0 ? stretch.time_s[before - 1] : around.before_s,
        after: firstAt(stretch.time_s, end_s) < stretch.time_s.length || around.after,
      },
    ) ?? []
  );
}
