/**
 * Subtracts a polynomial of the given degree, by least squares on Legendre-like powers of time scaled to -1..1
 * (orthogonalised against the samples, so spacing may be uneven). Returns new values.
 */
export function withoutTrend(
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  degree: number,
): Float64Array {
  const n = value.length;
  const rest = Float64Array.from(value);
  if (n === 0) return rest;
  const middle = 0.5 * (time_s[0] + time_s[n - 1]);
  const half = Math.max(0.5 * (time_s[n - 1] - time_s[0]), 1e-9);
  const basis: Float64Array[] = [];
  const norms: number[] = [];
  for (let d = 0; d <= Math.min(degree, n - 1); d++) {
    const column = new Float64Array(n);
    if (d === 0) column.fill(1);
    else {
      const before = basis[d - 1];
      for (let i = 0; i < n; i++) column[i] = before[i] * ((time_s[i] - middle) / half);
    }
    for (let e = 0; e < d; e++) {
      const earlier = basis[e];
      let dot = 0;
      for (let i = 0; i < n; i++) dot += column[i] * earlier[i];
      const along = norms[e] > 0 ? dot / norms[e] : 0;
      for (let i = 0; i < n; i++) column[i] -= along * earlier[i];
    }
    basis.push(column);
    let dot = 0;
    let norm = 0;
    for (let i = 0; i < n; i++) {
      dot += column[i] * rest[i];
      norm += column[i] * column[i];
    }
    norms.push(norm);
    const along = norm > 1e-12 ? dot / norm : 0;
    for (let i = 0; i < n; i++) rest[i] -= along * column[i];
  }
  return rest;
}

/**
 * Subtracts the one best step where a single change of level explains more than `leastFraction` of the variance.
 * A cycle repeated four times or more loses at most about an eighth to the best step, so it is never subtracted.
 */
export function withoutStep(value: Float64Array, leastFraction = 0.3): Float64Array {
  const n = value.length;
  let total = 0;
  let squares = 0;
  for (let i = 0; i < n; i++) {
    total += value[i];
    squares += value[i] * value[i];
  }
  const variance = squares - (total * total) / n;
  if (!(variance > 0)) return value;
  let left = 0;
  let best = 0;
  let at = 0;
  for (let i = 1; i < n; i++) {
    left += value[i - 1];
    const gain = (left * left) / i + ((total - left) * (total - left)) / (n - i) - (total * total) / n;
    if (gain > best) {
      best = gain;
      at = i;
    }
  }
  if (best < leastFraction * variance) return value;
  let before = 0;
  for (let i = 0; i < at; i++) before += value[i];
  const after = (total - before) / (n - at);
  before /= at;
  return value.map((v, i) => v - (i < at ? before : after));
}
