import type { OscillationVerdict } from './detect-oscillation.js';

/** Judgement, no source. */
const limits = {
  /** Correlation of each change with the next: a cycle of P rows has cos(2 pi / P), one of three rows or fewer under -0.5, and so has noise. */
  alternates: -0.4,
  /** Standard deviation of the changes over the amplitude of the cycle that was found. */
  overAmplitude: 1.5,
  fewest: 100,
};

/**
 * Whether values swing faster than their rows follow each other: they alternate from row to row by more than the slow cycle
 * that was found in them is high. A capacity that is switched every few seconds does so, and its harmonics fold down to
 * periods that nothing in the machine has (the sampling theorem). Whether there is a slow cycle besides cannot be told.
 */
export function isUnresolved(values: ArrayLike<number>, { amplitude }: OscillationVerdict): boolean {
  let squares = 0;
  let products = 0;
  let count = 0;
  for (let i = 2; i < values.length; i++) {
    const change = values[i] - values[i - 1];
    const before = values[i - 1] - values[i - 2];
    if (!Number.isFinite(change + before)) continue;
    squares += change * change;
    products += change * before;
    count++;
  }
  if (count < limits.fewest || amplitude === null) return false;
  return (
    products < limits.alternates * squares && Math.sqrt(squares / count) > limits.overAmplitude * amplitude
  );
}
