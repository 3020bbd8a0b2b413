import { circuitSeriesColumns, type CircuitSeries } from '../telemetry/circuit-series.js';
import type { SeriesHabits, SignalName } from './signal/signal-habit.js';

/** Values that stand for a missing one, by signal. */
export type SeriesDefaults = Partial<Record<SignalName, readonly number[]>>;

export const defaultsOf = ({ signals }: SeriesHabits): SeriesDefaults =>
  Object.fromEntries(
    circuitSeriesColumns.flatMap((name) => {
      const { defaults } = signals[name];
      return defaults ? [[name, defaults]] : [];
    }),
  );

/** A row in which so many signals show theirs was not read at all. Judgement, no source. */
const wholeRow = 3;

/**
 * Which rows show a value that stands for a missing one: 1 where a few signals do, 2 where so many do that the whole row
 * was not read. Null where there are no such values.
 */
export function defaultRows(series: CircuitSeries, defaults: SeriesDefaults): Uint8Array | null {
  const names = Object.keys(defaults) as SignalName[];
  if (names.length === 0) return null;
  const rows = new Uint8Array(series.time_s.length);
  for (const name of names)
    for (let i = 0; i < rows.length; i++) if (defaults[name]!.includes(series[name][i])) rows[i]++;
  return rows.map((shown) => (shown >= wholeRow ? 2 : shown > 0 ? 1 : 0));
}

/** A series without its values that stand for a missing one; of a row that was not read nothing is left. */
export function withoutDefaults(series: CircuitSeries, defaults: SeriesDefaults): CircuitSeries {
  const rows = defaultRows(series, defaults);
  if (!rows) return series;
  const out = { ...series };
  const unread = rows.includes(2);
  for (const name of circuitSeriesColumns) {
    const own = defaults[name];
    if (!own && !unread) continue;
    out[name] = series[name].map((value, i) =>
      rows[i] === 2 || (own?.includes(value) ?? false) ? NaN : value,
    );
  }
  return out;
}
