import { circuitSeriesColumns, type CircuitSeries } from '../telemetry/circuit-series.js';
import { samplingStep_s } from './missing-samples.js';
import type { SeriesHabits, SignalHabit, SignalName } from './signal/signal-habit.js';

/** What a person is told of one signal: how it is sent, and how much of it came. */
export interface SignalReport extends Pick<
  SignalHabit,
  'reporting' | 'resolution' | 'deadband' | 'interval_s' | 'hold_s' | 'glitches'
> {
  values: number;
  /** Values of those that its own interval promises over the stretch, 0..1; null: it promises none. */
  completeness: number | null;
  /** Time of the newest value, s; null: none came. */
  newest_s: number | null;
}

export interface SignalReports {
  from_s: number;
  to_s: number;
  /** Signals' clocks are so far apart that which of two moves first cannot be told. */
  clocksApart: boolean;
  signals: Record<SignalName, SignalReport>;
}

/**
 * The signals of a circuit over a stretch, as they were sent: what was learned of each and how complete it is. A signal
 * that is sent on change promises no number of values. Those of the unit's water and condenser are seen as they are carried
 * to the circuit's times.
 *
 * @returns null for a stretch without a row
 */
export function signalReports(series: CircuitSeries, habits: SeriesHabits): SignalReports | null {
  const { time_s } = series;
  const rows = time_s.length;
  if (rows === 0) return null;
  const [from_s, to_s] = [time_s[0], time_s[rows - 1]];
  const report = (name: SignalName): SignalReport => {
    const { reporting, resolution, deadband, interval_s, hold_s, glitches } = habits.signals[name];
    const at_s = time_s.filter((_, row) => !Number.isNaN(series[name][row]));
    const step_s = samplingStep_s(at_s) ?? interval_s;
    const promised = step_s !== null && step_s > 0 ? (to_s - from_s) / step_s + 1 : null;
    return {
      ...{ reporting, resolution, deadband, interval_s, hold_s, glitches, values: at_s.length },
      completeness:
        reporting === 'on-change' || promised === null ? null : Math.min(1, at_s.length / promised),
      newest_s: at_s.at(-1) ?? null,
    };
  };
  return {
    ...{ from_s, to_s, clocksApart: habits.clocksApart },
    signals: Object.fromEntries(circuitSeriesColumns.map((name) => [name, report(name)])) as Record<
      SignalName,
      SignalReport
    >,
  };
}
