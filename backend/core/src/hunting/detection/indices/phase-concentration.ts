import { phasesOf } from '../../../signals/phases.js';

/**
 * Concentration of a cycle's phase, 0..1: the mean resultant length of the cycle's phasors in eighths of the span
 * (quarters under eight cycles), each weighted by its length (after Rayleigh's test of directions).
 */
export function phaseConcentration(time_s: Float64Array, value: Float64Array, period_s: number): number {
  const n = time_s.length;
  const span = time_s[n - 1] - time_s[0];
  const parts = span / period_s >= 8 ? 8 : 4;
  const { cosine: cosines, sine: sines } = phasesOf(time_s, (2 * Math.PI) / period_s);
  const c = new Float64Array(parts);
  const s = new Float64Array(parts);
  for (let i = 0; i < n; i++) {
    const part = Math.min(parts - 1, Math.floor(((time_s[i] - time_s[0]) / span) * parts));
    c[part] += value[i] * cosines[i];
    s[part] += value[i] * sines[i];
  }
  let cosine = 0;
  let sine = 0;
  let lengths = 0;
  for (let part = 0; part < parts; part++) {
    cosine += c[part];
    sine += s[part];
    lengths += Math.hypot(c[part], s[part]);
  }
  return lengths > 0 ? Math.hypot(cosine, sine) / lengths : 0;
}
