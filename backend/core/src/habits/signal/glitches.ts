import { median, scaledMad } from '../../numerics/index.js';

/** Samples to either side that say what a sample should be. */
const halfWidth = 4;
/** So many scaled median absolute deviations off: three are common for the identifier; six keep lively signals whole. */
const threshold = 6;

/**
 * Samples that cannot be the quantity's: single ones that stand off all their neighbours, which agree among themselves.
 *
 * Hampel's identifier: off the median of a moving window by more than `threshold` scaled median absolute deviations
 * (Hampel 1974, J. Am. Stat. Assoc. 69:383; Davies & Gather 1993, J. Am. Stat. Assoc. 88:782; Pearson 2002, IEEE Trans.
 * Control Syst. Technol. 10:55), and by at least `least`. A step is none: half of its window lies on its own side. Two
 * wrong samples beside each other are found too; longer excursions are left to what judges them.
 *
 * @param least smallest departure that counts, in the unit of the values; above what the quantity can do within a sample
 * @returns indices of the glitches, ascending; NaN samples are skipped
 */
export function glitchesOf(time_s: ArrayLike<number>, values: ArrayLike<number>, least: number): number[] {
  if (!anyApart(values, least)) return [];
  const room = new Int32Array(values.length);
  let many = 0;
  for (let i = 0; i < values.length; i++) if (Number.isFinite(values[i])) room[many++] = i;
  const at = room.subarray(0, many);
  const found: number[] = [];
  const around = new Float64Array(2 * halfWidth);
  for (let k = halfWidth; k + halfWidth < at.length; k++) {
    const value = values[at[k]];
    // Nearly all samples are like one of their neighbours; the window is looked at for the rest alone.
    if (Math.abs(value - values[at[k - 1]]) < least && Math.abs(value - values[at[k + 1]]) < least) continue;
    let count = 0;
    for (let j = k - halfWidth; j <= k + halfWidth; j++) if (j !== k) around[count++] = values[at[j]];
    const centre = median(around);
    const spread = scaledMad(around, centre);
    const off = Math.abs(value - centre);
    if (
      off >= Math.max(least, threshold * spread) &&
      aloneIn(around, centre, off) &&
      apartFromBoth(values, at, k, centre, off)
    )
      found.push(at[k]);
  }
  return found.filter((index, i) => !inLongRun(found, i) && Number.isFinite(time_s[index]));
}

/** Whether any sample is so far from the one before it: in most signals none is, and no window is looked at. */
function anyApart(values: ArrayLike<number>, least: number): boolean {
  let before = NaN;
  for (let i = 0; i < values.length; i++) {
    const value = values[i];
    if (!Number.isFinite(value)) continue;
    if (Math.abs(value - before) >= least) return true;
    before = value;
  }
  return false;
}

/** At most one other of the window is off likewise: what comes again and again is the quantity's own. */
function aloneIn(around: Float64Array, centre: number, off: number): boolean {
  let alike = 0;
  for (const value of around) if (Math.abs(value - centre) > off / 3) alike++;
  return alike <= 1;
}

/** What came two samples before and after lies far nearer to the median than the sample does. */
function apartFromBoth(
  values: ArrayLike<number>,
  at: Int32Array,
  k: number,
  centre: number,
  off: number,
): boolean {
  const near = (j: number) => Math.abs(values[at[j]] - centre) < off / 3;
  return (near(k - 1) || near(k - 2)) && (near(k + 1) || near(k + 2));
}

/** Three or more beside each other are no glitch. */
function inLongRun(found: readonly number[], i: number): boolean {
  let from = i;
  let to = i;
  while (from > 0 && found[from] - found[from - 1] === 1) from--;
  while (to + 1 < found.length && found[to + 1] - found[to] === 1) to++;
  return to - from >= 2;
}
