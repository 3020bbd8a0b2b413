import { leastCompared } from './compare-groups.js';
import { resampledByUnit, type ResampledFigure, type ResamplingOptions } from './unit-resampling.js';

/** What one unit did before and after a date on which others, or it, changed. */
export interface ChangeRow {
  unit: string;
  /** Units that changed at about the same time are one cohort, with the others' figures of the same dates. */
  cohort: string;
  /** It had the change; otherwise it stayed as it was over all of the time looked at. */
  changed: boolean;
  before: number;
  after: number;
}

export interface ChangeEffect {
  /** Change of those that had it less that of those that did not; null where nothing can be told. */
  effect: ResampledFigure | null;
  notTold: 'too-few' | null;
  /** Mean change of each, as it stands. */
  changedBy: number | null;
  othersBy: number | null;
  /** Units with the change, and without it, that are compared. */
  units: [number, number];
}

/**
 * Effect of a change on those that had it against those that did not: difference in differences. Each cohort of units
 * that changed at one time is compared with units that did not change, over the same dates, and cohorts are averaged by
 * the number of their changed units, so that no unit that has changed already serves as a comparison (stacked by event;
 * Goodman-Bacon 2021, J. Econometrics 225:254, says why). Holds where both would have moved alike without the change.
 * The interval is from drawing units (`resampledByUnit`). A cohort without others to compare with is left out.
 *
 * @example changeEffect([{ unit: 'a', cohort: '2026-05', changed: true, before: 8, after: 6 }, …]).effect
 */
export function changeEffect(all: readonly ChangeRow[], options: ResamplingOptions = {}): ChangeEffect {
  const rows = byUnit(all);
  const { firstOf, groupOf, moved, cohorts } = rows;
  const stratumOf = Array.from({ length: firstOf.length - 1 }, (_, unit) => {
    let stratum = 0;
    for (let row = firstOf[unit]!; row < firstOf[unit + 1]!; row++) stratum |= 1 + (groupOf[row]! % 2);
    return stratum;
  });
  const units = [1, 2].map((side) => stratumOf.filter((stratum) => (stratum & side) !== 0).length) as [
    number,
    number,
  ];
  const by = (side: number) => {
    const own = moved.filter((_, row) => groupOf[row]! % 2 === side);
    return own.length === 0 ? null : own.reduce((sum, value) => sum + value, 0) / own.length;
  };
  const result: ChangeEffect = {
    effect: null,
    notTold: null,
    changedBy: by(0),
    othersBy: by(1),
    units,
  };
  if (Math.min(...units) < leastCompared) return { ...result, notTold: 'too-few' };
  const effect = resampledByUnit(stratumOf, (times) => pooledEffect(rows, cohorts, times), {
    ...options,
    degrees: Math.min(...units) - 1,
  });
  return effect === null ? { ...result, notTold: 'too-few' } : { ...result, effect };
}

/** Rows of the cohorts that have both sides, those of one unit together, as units are drawn whole. */
interface RowsByUnit {
  cohorts: number;
  /** Of each unit its first row, and behind the last unit the end. */
  firstOf: Int32Array;
  /** Of each row twice the number of its cohort, one more for those without the change. */
  groupOf: Int32Array;
  moved: Float64Array;
}

function byUnit(all: readonly ChangeRow[]): RowsByUnit {
  const sides = new Map<string, number>();
  for (const { cohort, changed } of all) sides.set(cohort, (sides.get(cohort) ?? 0) | (changed ? 1 : 2));
  const cohorts = [...sides].flatMap(([cohort, seen]) => (seen === 3 ? [cohort] : []));
  const cohortNumber = new Map(cohorts.map((cohort, index) => [cohort, index]));
  const rows = all.filter(({ cohort }) => cohortNumber.has(cohort));
  const unitNumber = new Map<string, number>();
  for (const { unit } of rows) if (!unitNumber.has(unit)) unitNumber.set(unit, unitNumber.size);
  const firstOf = new Int32Array(unitNumber.size + 1);
  for (const { unit } of rows) firstOf[unitNumber.get(unit)! + 1]!++;
  for (let unit = 0; unit < unitNumber.size; unit++) firstOf[unit + 1]! += firstOf[unit]!;
  const next = firstOf.slice();
  const groupOf = new Int32Array(rows.length);
  const moved = new Float64Array(rows.length);
  for (const { unit, cohort, changed, before, after } of rows) {
    const at = next[unitNumber.get(unit)!]!++;
    groupOf[at] = 2 * cohortNumber.get(cohort)! + (changed ? 0 : 1);
    moved[at] = after - before;
  }
  return { cohorts: cohorts.length, firstOf, groupOf, moved };
}

/** Mean over the cohorts, weighted by their changed units, of how much more these moved than the others. */
function pooledEffect(
  { firstOf, groupOf, moved }: RowsByUnit,
  cohorts: number,
  times: Int32Array,
): number | null {
  const sums = new Float64Array(2 * cohorts);
  const totals = new Float64Array(2 * cohorts);
  for (let unit = 0; unit < times.length; unit++) {
    const weight = times[unit]!;
    if (weight === 0) continue;
    for (let row = firstOf[unit]!; row < firstOf[unit + 1]!; row++) {
      const group = groupOf[row]!;
      sums[group]! += weight * moved[row]!;
      totals[group]! += weight;
    }
  }
  let [effect, total] = [0, 0];
  for (let group = 0; group < totals.length; group += 2) {
    const [changed, others] = [totals[group]!, totals[group + 1]!];
    if (changed === 0 || others === 0) continue;
    effect += changed * (sums[group]! / changed - sums[group + 1]! / others);
    total += changed;
  }
  return total === 0 ? null : effect / total;
}
