/** Current above this fraction of its maximum counts as driving. */
const drivingFraction = 0.2;

/** The longest stretch with the current above a fraction of its maximum, as first and last index. */
export function longestDrive(
  time_s: ArrayLike<number>,
  current_A: ArrayLike<number>,
): { start: number; end: number } | null {
  let highest = 0;
  for (let i = 0; i < current_A.length; i++) if (current_A[i]! > highest) highest = current_A[i]!;
  if (!(highest > 0)) return null;
  let best: { start: number; end: number } | null = null;
  let start = -1;
  for (let i = 0; i <= current_A.length; i++) {
    const driving = i < current_A.length && current_A[i]! >= drivingFraction * highest;
    if (driving && start < 0) start = i;
    if (driving || start < 0) continue;
    const length_s = time_s[i - 1]! - time_s[start]!;
    if (!best || length_s > time_s[best.end]! - time_s[best.start]!) best = { start, end: i - 1 };
    start = -1;
  }
  return best;
}
