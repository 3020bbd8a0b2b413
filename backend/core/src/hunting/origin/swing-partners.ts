import { firstFinite } from '../../numerics/index.js';
import { phasesOf } from '../../signals/phases.js';
import type { CircuitSeries } from '../../telemetry/circuit-series.js';
import {
  swingSignals,
  type SwingPartner,
  type SwingSignal,
} from '../../steadiness/windows/window-judgement.js';

const columnOf: Record<SwingSignal, keyof CircuitSeries> = {
  'valve-opening': 'valveOpening_pct',
  'suction-pressure': 'suctionPressure_Pa',
  'suction-temperature': 'suctionTemperature_K',
  'discharge-pressure': 'dischargePressure_Pa',
  'compressor-load': 'compressorLoad_pct',
  'superheat-setpoint': 'superheatSetpoint_K',
  'entering-water': 'enteringWaterTemperature_K',
  'leaving-water': 'leavingWaterTemperature_K',
};

interface Phasors {
  /** Cosine and sine parts of a cycle in each block of about three cycles, about the block's own line. */
  c: Float64Array;
  s: Float64Array;
  /** Over the whole stretch. */
  cosine: number;
  sine: number;
  variance: number;
}

/**
 * Which other signals swing at the superheat's period over samples `from`..`to`, how far, and whether their crest comes
 * before or after. Samples without superheat (not steady) are left out. The squared coherence is taken from blocks of
 * about three cycles (Welch 1967), and is null under four blocks.
 */
export function swingPartners(
  series: CircuitSeries,
  superheat_K: Float64Array,
  from: number,
  to: number,
  period_s: number,
): SwingPartner[] {
  const n = to - from;
  const time = series.time_s.subarray(from, to);
  const omega = (2 * Math.PI) / period_s;
  const { cosine, sine } = phasesOf(time, omega);
  const block = new Int32Array(n);
  for (let i = 0; i < n; i++)
    block[i] = Number.isFinite(superheat_K[from + i]) ? Math.floor((time[i] - time[0]) / (3 * period_s)) : -1;
  const blocks = Math.floor((time[n - 1] - time[0]) / (3 * period_s)) + 1;
  const own = phasors(superheat_K.subarray(from, to), cosine, sine, block, blocks);
  if (!own) return [];
  const partners: SwingPartner[] = [];
  for (const signal of swingSignals) {
    const column = series[columnOf[signal]].subarray(from, to);
    const other = phasors(column, cosine, sine, block, blocks);
    if (!other || !(other.variance > 0)) continue;
    const amplitude = Math.hypot(other.cosine, other.sine);
    // The crest of a c cos + s sin lies at phase atan2(s, c); a smaller phase comes earlier.
    const lead = (Math.atan2(own.sine, own.cosine) - Math.atan2(other.sine, other.cosine)) / (2 * Math.PI);
    partners.push({
      signal,
      amplitude,
      varianceFraction: Math.min(1, (0.5 * amplitude * amplitude) / other.variance),
      coherence: coherence(own, other),
      lead_cycles: lead - Math.round(lead),
    });
  }
  return partners;
}

function phasors(
  value: Float64Array,
  cosine: Float64Array,
  sine: Float64Array,
  block: Int32Array,
  blocks: number,
): Phasors | null {
  const first = firstFinite(value);
  if (first === value.length) return null;
  const count = new Float64Array(blocks);
  const sum = new Float64Array(blocks);
  const c = new Float64Array(blocks);
  const s = new Float64Array(blocks);
  const cosineSum = new Float64Array(blocks);
  const sineSum = new Float64Array(blocks);
  const squares = new Float64Array(blocks);
  let shift = NaN;
  for (let i = first; i < value.length; i++) {
    const k = block[i];
    if (k < 0 || !Number.isFinite(value[i])) continue;
    if (Number.isNaN(shift)) shift = value[i];
    const v = value[i] - shift;
    count[k]++;
    sum[k] += v;
    squares[k] += v * v;
    c[k] += v * cosine[i];
    s[k] += v * sine[i];
    cosineSum[k] += cosine[i];
    sineSum[k] += sine[i];
  }
  let total = 0;
  let cosineTotal = 0;
  let sineTotal = 0;
  let deviation = 0;
  for (let k = 0; k < blocks; k++) {
    if (count[k] < 6) {
      c[k] = s[k] = 0;
      continue;
    }
    const mean = sum[k] / count[k];
    c[k] -= mean * cosineSum[k];
    s[k] -= mean * sineSum[k];
    deviation += squares[k] - mean * sum[k];
    total += count[k];
    cosineTotal += c[k];
    sineTotal += s[k];
  }
  if (total < 12) return null;
  return {
    c,
    s,
    cosine: (2 * cosineTotal) / total,
    sine: (2 * sineTotal) / total,
    variance: deviation / total,
  };
}

function coherence(a: Phasors, b: Phasors): number | null {
  let used = 0;
  let real = 0;
  let imaginary = 0;
  let aa = 0;
  let bb = 0;
  for (let k = 0; k < a.c.length; k++) {
    const aPower = a.c[k] ** 2 + a.s[k] ** 2;
    const bPower = b.c[k] ** 2 + b.s[k] ** 2;
    if (aPower === 0) continue;
    used++;
    aa += aPower;
    bb += bPower;
    real += a.c[k] * b.c[k] + a.s[k] * b.s[k];
    imaginary += a.s[k] * b.c[k] - a.c[k] * b.s[k];
  }
  if (used < 4) return null;
  return aa > 0 && bb > 0 ? Math.min(1, (real * real + imaginary * imaginary) / (aa * bb)) : 0;
}
