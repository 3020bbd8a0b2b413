import { phasesOf } from './phases.js';

export interface SineFit {
  amplitude: number;
  /** The crest nearest to the middle of the series, in the time of `time_s`. */
  crest_s: number;
  /** Of the variance about the mean, what the sine explains, 0..1. */
  varianceFraction: number;
  level: number;
}

/** Least-squares sine of a known period with a free level (Vanicek 1969). Values that are not finite are left out; null under four. */
export function fitSine(
  time_s: ArrayLike<number>,
  value: ArrayLike<number>,
  period_s: number,
): SineFit | null {
  const omega = (2 * Math.PI) / period_s;
  const origin = time_s.length > 0 ? time_s[0] : 0;
  const phases = phasesOf(time_s, omega);
  let n = 0;
  let c = 0;
  let s = 0;
  let y = 0;
  let cc = 0;
  let cs = 0;
  let ss = 0;
  let yc = 0;
  let ys = 0;
  let yy = 0;
  let shift = NaN;
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(value[i])) continue;
    if (n === 0) shift = value[i];
    const v = value[i] - shift;
    const cosine = phases.cosine[i];
    const sine = phases.sine[i];
    n++;
    c += cosine;
    s += sine;
    y += v;
    cc += cosine * cosine;
    cs += cosine * sine;
    ss += sine * sine;
    yc += v * cosine;
    ys += v * sine;
    yy += v * v;
  }
  if (n < 4) return null;
  const varianceC = cc - (c * c) / n;
  const varianceS = ss - (s * s) / n;
  const covariance = cs - (c * s) / n;
  const yVariance = yy - (y * y) / n;
  const yWithC = yc - (y * c) / n;
  const yWithS = ys - (y * s) / n;
  const determinant = varianceC * varianceS - covariance * covariance;
  if (!(determinant > 1e-9 * n * n)) return null;
  const a = (yWithC * varianceS - yWithS * covariance) / determinant;
  const b = (yWithS * varianceC - yWithC * covariance) / determinant;
  const explained = a * yWithC + b * yWithS;
  const crest = origin + Math.atan2(b, a) / omega;
  const middle = 0.5 * (origin + time_s[time_s.length - 1]);
  return {
    amplitude: Math.hypot(a, b),
    crest_s: crest + Math.round((middle - crest) / period_s) * period_s,
    varianceFraction: yVariance > 0 ? Math.min(1, explained / yVariance) : 0,
    level: shift + (y - a * c - b * s) / n,
  };
}
