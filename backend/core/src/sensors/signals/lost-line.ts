import { defaultRows, type SeriesDefaults } from '../../habits/without-defaults.js';
import type { SignalName } from '../../habits/signal/signal-habit.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import type { SignalFault } from './signal-health.js';

/** Stretches shorter than this are the gateway's; in all so much of the rows must be lost. Judgement, no source. */
const least = { stretch_s: 300, fraction: 0.02 };

/**
 * A sensor whose line is lost again and again: for minutes at a time, in 2 % of all rows or more, it alone shows the value
 * that stands for a missing one. Where other signals show theirs in the same rows the gateway has lost them all, and no
 * sensor is doubted.
 */
export function lostLine(
  series: CircuitSeries,
  name: SignalName,
  defaults: SeriesDefaults,
): SignalFault | null {
  const own = defaults[name];
  const rows = own ? defaultRows(series, defaults) : null;
  if (!own || !rows) return null;
  const values = series[name];
  const { time_s } = series;
  const lost = (i: number) => rows[i] === 1 && own.includes(values[i]);
  let count = 0;
  let sent = 0;
  let first = -1;
  let last = -1;
  for (let from = 0; from < values.length;) {
    if (Number.isFinite(values[from])) sent++;
    let to = from + 1;
    while (to < values.length && lost(from) && lost(to)) {
      to++;
      sent++;
    }
    if (lost(from) && time_s[to - 1] - time_s[from] >= least.stretch_s) {
      count += to - from;
      if (first < 0) first = from;
      last = to - 1;
    }
    from = to;
  }
  if (count < least.fraction * sent || count === 0) return null;
  return {
    kind: 'value-clipped',
    value: values[first],
    measure: count / sent,
    from_s: time_s[first],
    to_s: time_s[last],
  };
}
