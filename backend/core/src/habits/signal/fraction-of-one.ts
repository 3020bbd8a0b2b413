import type { SignalName } from './signal-habit.js';

/** Signals in percent whose whole span a machine that works goes through. */
const inPercent: ReadonlySet<SignalName> = new Set([
  'valveOpening_pct',
  'compressorLoad_pct',
  'condenserFanSpeed_pct',
]);

/** Judgement, no source. */
const least = { values: 60, highest: 0.2, different: 8 };

/**
 * Whether a signal in percent comes as a fraction of one: it is never over 1 and yet moves through many values, or it is
 * only ever 0 and 1. No valve or compressor works within 1 % of its span; what a shut valve shows of its offset takes few
 * values.
 */
export function isFractionOfOne(name: SignalName, values: ArrayLike<number>): boolean {
  if (!inPercent.has(name)) return false;
  const different = new Set<number>();
  let highest = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (!Number.isFinite(value)) continue;
    if (value < 0 || value > 1) return false;
    count++;
    if (value > highest) highest = value;
    if (different.size < least.different) different.add(value);
  }
  if (count < least.values || highest < least.highest) return false;
  return different.size >= least.different || (highest === 1 && different.size === 2 && different.has(0));
}
