import { circuitSeriesColumns, emptyCircuitSeries, type CircuitSeries } from '../telemetry/circuit-series.js';
import { heldValues } from './signal/hold.js';
import { glitchesIn, learnHabits } from './learn-habits.js';
import type { SeriesHabits, SiteFacts } from './signal/signal-habit.js';
import { defaultsOf, withoutDefaults } from './without-defaults.js';
import { withLearned } from './with-learned.js';

export interface PreparedSeries {
  series: CircuitSeries;
  habits: SeriesHabits;
}

/** Finest grid on which values sent on change are read, s. */
const finestGrid_s = 10;

/**
 * A circuit's telemetry as everything that judges it should see it: the one place where single wrong samples and values
 * that stand for a missing one are taken out, setpoints that are none, fractions of one become percent, and values that stand until the next one are
 * carried forward.
 *
 * Sampled: a signal that comes less often than the rows stands for two and a half of its own intervals. Sent on change:
 * the series is read on an even grid, each value standing until the next one, no longer than is usual for it and not over
 * a silence of the gateway.
 *
 * @param known habits by which to read it; learned from this series, with what days told, when left out
 */
export function prepareSeries(
  series: CircuitSeries,
  known: { habits?: SeriesHabits | undefined } & Pick<SiteFacts, 'reporting' | 'learned'> = {},
): PreparedSeries {
  const habits = known.habits ?? withLearned(learnHabits(series, known.reporting), known.learned);
  const read = withPossibleSetpoints(withoutDefaults(series, defaultsOf(habits)));
  const clean = withoutGlitches(inPercent(read, habits), habits);
  return {
    series: habits.reporting === 'on-change' ? onGrid(clean, habits) : carried(clean, habits),
    habits,
  };
}

/** What dry expansion is set to lies well within these, K: 0 is sent where there is none, 279 or 60 in another unit. Judgement, no source. */
const setpoint_K = { least: 0.5, most: 40 };

function withPossibleSetpoints(series: CircuitSeries): CircuitSeries {
  const isNone = (value_K: number) => value_K < setpoint_K.least || value_K > setpoint_K.most;
  const { superheatSetpoint_K: sent } = series;
  return sent.some(isNone)
    ? { ...series, superheatSetpoint_K: sent.map((value_K) => (isNone(value_K) ? NaN : value_K)) }
    : series;
}

/** What came as a fraction of one where percent is meant. */
function inPercent(series: CircuitSeries, { signals }: SeriesHabits): CircuitSeries {
  const out = { ...series };
  for (const name of circuitSeriesColumns)
    if (signals[name].fractionOfOne) out[name] = series[name].map((value) => 100 * value);
  return out;
}

function withoutGlitches(series: CircuitSeries, habits: SeriesHabits): CircuitSeries {
  const clean = { ...series };
  for (const name of circuitSeriesColumns) {
    const found = glitchesIn(series, name, habits.signals[name]);
    if (found.length === 0) continue;
    clean[name] = series[name].slice();
    for (const index of found) clean[name][index] = NaN;
  }
  return clean;
}

/** Columns that come less often than the rows, carried to the rows between. */
function carried(series: CircuitSeries, habits: SeriesHabits): CircuitSeries {
  const out = { ...series };
  const rows_s = habits.rowInterval_s ?? 0;
  for (const name of circuitSeriesColumns) {
    const { interval_s, hold_s, reporting } = habits.signals[name];
    const slower = interval_s !== null && interval_s > 1.5 * rows_s;
    if (!slower && reporting === 'sampled') continue;
    out[name] = heldValues(series.time_s, series[name], series.time_s, hold_s);
  }
  return out;
}

function onGrid(series: CircuitSeries, habits: SeriesHabits): CircuitSeries {
  const { time_s } = series;
  const n = time_s.length;
  if (n === 0) return series;
  const step_s = finestGrid_s;
  const first_s = Math.ceil(time_s[0] / step_s) * step_s;
  const rows = Math.max(1, Math.floor((time_s[n - 1] - first_s) / step_s) + 1);
  const out = emptyCircuitSeries(rows);
  for (let k = 0; k < rows; k++) out.time_s[k] = first_s + k * step_s;
  const last_s = heldValues(time_s, time_s, out.time_s, Infinity);
  const heard = { last_s, silence_s: habits.silence_s };
  for (const name of circuitSeriesColumns)
    out[name] = heldValues(time_s, series[name], out.time_s, habits.signals[name].hold_s, heard);
  return out;
}
