import { resolutionOf } from './resolution.js';
import type { SignalName } from './signal-habit.js';

/**
 * By so much no quantity of a circuit moves from one row to the next, and back from the very same value again and again:
 * K and Pa. Judgement, no source.
 */
const leastJump: Partial<Record<SignalName, number>> = {
  suctionPressure_Pa: 0.8e5,
  dischargePressure_Pa: 2e5,
  suctionTemperature_K: 12,
  dischargeTemperature_K: 15,
  liquidTemperature_K: 12,
  enteringWaterTemperature_K: 5,
  leavingWaterTemperature_K: 5,
  ambientTemperature_K: 12,
  condenserEnteringTemperature_K: 12,
  condenserLeavingTemperature_K: 12,
};

/** Judgement, no source. */
const least = {
  /** Visits to the value. */
  visits: 3,
  /**
   * Or so many single samples that leave their neighbours, which agree, by this fraction of the jump: a value near the
   * quantity's own, such as 0 C.
   */
  single: 10,
  jump: 1 / 3,
  /** Fraction of the visits that are so. */
  far: 0.9,
  /** In steps of the signal a jump is so many at least. */
  steps: 6,
};
/** What came longer ago tells nothing of a jump, s. */
const near_s = 600;
/** Most defaults that one signal is given: one for a lost line, one for a value out of range, and another. */
const most = 3;

interface Visits {
  all: number;
  odd: number;
  far: number;
  single: number;
}

/**
 * Values that stand for no measurement: what a gateway or a converter puts in where it has none, such as -40, 0 or the end
 * of a range. Such a value is the same to the last digit each time, and is reached and left by a jump that the quantity
 * cannot make within a row; a value that is also met on an even way is the quantity's own. It breaks into measurements:
 * beside a visit, two values in a row agree, or those before and after a short visit do. Where each value beside it
 * stands alone, they are the wrong ones, and the value is what a stuck sensor holds between them.
 *
 * @returns at most three values, the most frequent first
 * @example defaultValues('suctionTemperature_K', [0, 10, 20, 30, 40, 50, 60], [280, 233.15, 280, 233.15, 281, 233.15, 280]) // [233.15]
 */
export function defaultValues(
  name: SignalName,
  time_s: ArrayLike<number>,
  values: ArrayLike<number>,
): number[] {
  const usual = leastJump[name];
  if (usual === undefined || isNearAllItsValues(values, least.jump * usual)) return [];
  const step = resolutionOf(values);
  const jumps = {
    far: Math.max(usual, least.steps * step),
    single: Math.max(least.jump * usual, least.steps * step),
  };
  const seen = new Map<number, Visits>();
  let before = -1;
  let from = -1;
  let last = -1;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    if (from >= 0 && values[i] !== values[from]) {
      if (before >= 0 && time_s[from] - time_s[before] <= near_s && time_s[i] - time_s[last] <= near_s)
        count(seen, values, { before, from, last, after: i, lasts_s: time_s[i] - time_s[before] }, jumps);
      before = last;
      from = i;
    } else if (from < 0) from = i;
    last = i;
  }
  return [...seen]
    .filter(([, { all, odd, far, single }]) => {
      const often = far >= least.visits || single >= least.single;
      return often && odd >= least.far * all;
    })
    .sort(([, a], [, b]) => b.odd - a.odd)
    .slice(0, most)
    .map(([value]) => value);
}

/** No value is so far from the one before it: most signals, told without counting. */
function isNearAllItsValues(values: ArrayLike<number>, jump: number): boolean {
  let before = NaN;
  for (let i = 0; i < values.length; i++) {
    if (!Number.isFinite(values[i])) continue;
    if (Math.abs(values[i] - before) >= jump) return false;
    before = values[i];
  }
  return true;
}

function count(
  seen: Map<number, Visits>,
  values: ArrayLike<number>,
  {
    before,
    from,
    last,
    after,
    lasts_s,
  }: { before: number; from: number; last: number; after: number; lasts_s: number },
  jumps: { far: number; single: number },
): void {
  const value = values[from];
  const smaller = Math.min(Math.abs(value - values[before]), Math.abs(value - values[after]));
  const visits = seen.get(value) ?? { all: 0, odd: 0, far: 0, single: 0 };
  const agree = Math.abs(values[before] - values[after]) <= smaller / 4;
  const measured =
    (agree && lasts_s <= near_s) ||
    goesOn(values, before, -1, { value, within: smaller / 4 }) ||
    goesOn(values, after, 1, { value, within: smaller / 4 });
  const far = measured && smaller >= jumps.far;
  const single = last - from <= 1 && smaller >= jumps.single && agree;
  visits.all++;
  if (far || single) visits.odd++;
  if (far) visits.far++;
  if (single) visits.single++;
  seen.set(value, visits);
}

/** Whether the next value that way is near this one too, and is not the one that is looked at. */
function goesOn(
  values: ArrayLike<number>,
  at: number,
  way: 1 | -1,
  { value, within }: { value: number; within: number },
): boolean {
  let next = at + way;
  while (next >= 0 && next < values.length && !Number.isFinite(values[next])) next += way;
  return values[next] !== value && Math.abs(values[next] - values[at]) <= within;
}
