import {
  circuitSeriesColumns,
  judgeWindow,
  type CircuitEntry,
  type CircuitSeries,
  type WindowJudgement,
} from '@coldrounds/core';

const window_s = 7200;

/** Samples from one place of a series to another. */
export function sliced(series: CircuitSeries, from: number, to: number): CircuitSeries {
  const part = { time_s: series.time_s.slice(from, to) } as CircuitSeries;
  for (const column of circuitSeriesColumns) part[column] = series[column].slice(from, to);
  return part;
}

/** The windows of two hours that a series reaches into, each judged by itself as the server does. */
export function windowsOf(
  series: CircuitSeries,
  refrigerant: string,
  circuit: CircuitEntry,
): WindowJudgement[] {
  const { time_s } = series;
  const windows: WindowJudgement[] = [];
  for (let from = 0; from < time_s.length;) {
    const from_s = Math.floor(time_s[from]! / window_s) * window_s;
    const window = { from_s, to_s: from_s + window_s };
    let to = from;
    while (to < time_s.length && time_s[to]! < window.to_s) to++;
    windows.push(judgeWindow({ series: sliced(series, from, to), refrigerant, circuit, window }));
    from = to;
  }
  return windows;
}
