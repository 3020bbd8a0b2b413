/** Samples in rising time, by columns; NaN where there is no value. */
export interface Samples {
  time_s: Float64Array;
  columns: Float64Array[];
}

/** A column that is the difference of two others, by their places. */
export interface DifferencePlaces {
  at: number;
  minuend: number;
  subtrahend: number;
}

/**
 * Two series of the same columns as one, each time once. Where both have a time, a value of the first stays and a missing one is
 * filled from the second; a difference that the first does not have is taken anew, in single precision as it is stored.
 */
export function mergeSamples(
  first: Samples,
  second: Samples,
  differences: readonly DifferencePlaces[] = [],
): Samples {
  if (first.time_s.length === 0) return second;
  if (second.time_s.length === 0) return first;
  const [a, b] = [first.time_s, second.time_s];
  const length = a.length + b.length;
  const from = new Int32Array(length); // row of the first, or -1
  const other = new Int32Array(length); // row of the second, or -1
  const time_s = new Float64Array(length);
  let n = 0;
  for (let i = 0, j = 0; i < a.length || j < b.length; n++) {
    const takeFirst = j >= b.length || (i < a.length && a[i] <= b[j]);
    const takeSecond = i >= a.length || (j < b.length && b[j] <= a[i]);
    time_s[n] = takeFirst ? a[i] : b[j];
    from[n] = takeFirst ? i++ : -1;
    other[n] = takeSecond ? j++ : -1;
  }
  const columns = first.columns.map((own, at) => {
    const filling = second.columns[at];
    const merged = new Float64Array(n);
    for (let row = 0; row < n; row++) {
      const value = from[row] < 0 ? NaN : own[from[row]];
      merged[row] = Number.isNaN(value) && other[row] >= 0 ? filling[other[row]] : value;
    }
    return merged;
  });
  for (const { at, minuend, subtrahend } of differences)
    for (let row = 0; row < n; row++)
      if (from[row] >= 0 && other[row] >= 0 && Number.isNaN(first.columns[at][from[row]]))
        columns[at][row] = Math.fround(columns[minuend][row] - columns[subtrahend][row]);
  return { time_s: time_s.subarray(0, n), columns };
}
