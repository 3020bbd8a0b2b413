import { medianInPlace } from '../../numerics/index.js';

/** A change of level in a series of days that lasts. */
export interface LastingStep {
  /** Place of the first day at the new level. */
  day: number;
  /** Level after it less that before it. */
  size: number;
}

export interface LastingStepOptions {
  /** Smaller steps are none. */
  least: number;
  /** Days with a value on each side of a step that its levels are the medians of. */
  side?: number;
  /** The same days may lie this many calendar days apart at most. */
  within?: number;
}

/**
 * Steps of a setting that is sent as a daily value: places where the median of the days from there on lies at least
 * `least` off the median of the days before, and both sides keep to their level, so that a value that wanders or is
 * raised for some days makes no step. Days without a value are left out. A side keeps to its level where at most one day in
 * four lies more than a third of the step off its median (judgement, no source).
 *
 * @param values one for each day; NaN: not known.
 * @example lastingSteps([8, 8, 8, 8, 8, 8, 8, 6, 6, 6, 6, 6, 6, 6], { least: 0.5 }) // [{ day: 7, size: -2 }]
 */
export function lastingSteps(
  values: ArrayLike<number>,
  { least, side = 7, within = 21 }: LastingStepOptions,
): LastingStep[] {
  const days = new Int32Array(values.length);
  const all = new Float64Array(values.length);
  let count = 0;
  for (let day = 0; day < values.length; day++) {
    const value = values[day]!;
    if (!Number.isFinite(value)) continue;
    days[count] = day;
    all[count++] = value;
  }
  const known = all.subarray(0, count);
  const steps: LastingStep[] = [];
  const scratch = new Float64Array(side);
  let best: { at: number; size: number; cost: number } | null = null;
  for (let at = side; at + side <= known.length; at++) {
    if (best !== null && at >= best.at + side) {
      steps.push({ day: days[best.at]!, size: best.size });
      best = null;
    }
    if (Math.abs(known[at]! - known[at - 1]!) < least / 2) continue;
    if (days[at - 1]! - days[at - side]! > within || days[at + side - 1]! - days[at]! > within) continue;
    const before = levelOf(known, at - side, scratch);
    const after = levelOf(known, at, scratch);
    const size = after - before;
    if (Math.abs(size) < least) continue;
    const off = Math.abs(size) / 3;
    if (!keepsTo(known, at - side, side, before, off) || !keepsTo(known, at, side, after, off)) continue;
    const cost = costOf(known, at - side, side, before) + costOf(known, at, side, after);
    if (best === null || cost < best.cost) best = { at, size, cost };
  }
  if (best !== null) steps.push({ day: days[best.at]!, size: best.size });
  return steps;
}

function levelOf(values: Float64Array, from: number, scratch: Float64Array): number {
  for (let at = 0; at < scratch.length; at++) scratch[at] = values[from + at]!;
  return medianInPlace(scratch);
}

function keepsTo(values: Float64Array, from: number, days: number, level: number, off: number): boolean {
  let strays = 0;
  for (let at = from; at < from + days; at++) if (Math.abs(values[at]! - level) > off) strays++;
  return 4 * strays <= days;
}

function costOf(values: Float64Array, from: number, days: number, level: number): number {
  let sum = 0;
  for (let at = from; at < from + days; at++) sum += Math.abs(values[at]! - level);
  return sum;
}
