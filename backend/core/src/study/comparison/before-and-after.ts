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
export function changeEffect(rows: readonly ChangeRow[], options: ResamplingOptions = {}): ChangeEffect {
  const cohortsOf = (side: boolean) =>
    new Set(rows.filter(({ changed }) => changed === side).map(({ cohort }) => cohort));
  const withOthers = cohortsOf(false);
  const cohorts = [...cohortsOf(true)].filter((cohort) => withOthers.has(cohort));
  const place = new Map(cohorts.map((cohort, index) => [cohort, index]));
  const own = rows.filter(({ cohort }) => place.has(cohort));
  const names = [...new Set(own.map(({ unit }) => unit))];
  const number = new Map(names.map((name, index) => [name, index]));
  const cells = cellsOf(own, number, place);
  const stratumOf = names.map((_, unit) => {
    let stratum = 0;
    for (let cell = cells.firstOf[unit]!; cell < cells.firstOf[unit + 1]!; cell++)
      stratum |= 1 + (cells.groupOf[cell]! % 2);
    return stratum;
  });
  const units = [1, 2].map((side) => stratumOf.filter((stratum) => (stratum & side) !== 0).length) as [
    number,
    number,
  ];
  const by = (side: number) => {
    const [sum, count] = [cells.sums, cells.counts].map((values) =>
      values.reduce((total, value, cell) => total + (cells.groupOf[cell]! % 2 === side ? value : 0), 0),
    );
    return count === 0 ? null : sum! / count!;
  };
  const result: ChangeEffect = {
    effect: null,
    notTold: null,
    changedBy: by(0),
    othersBy: by(1),
    units,
  };
  if (Math.min(...units) < leastCompared) return { ...result, notTold: 'too-few' };
  const effect = resampledByUnit(stratumOf, (times) => pooledEffect(cells, cohorts.length, times), {
    ...options,
    degrees: Math.min(...units) - 1,
  });
  return effect === null ? { ...result, notTold: 'too-few' } : { ...result, effect };
}

/** Rows of one unit in one group added up: units are drawn whole, so that more than their sums is not needed. */
interface Cells {
  /** Of each unit its first cell, and behind the last unit the end. */
  firstOf: Int32Array;
  /** Twice the number of the cohort, one more for those without the change. */
  groupOf: Int32Array;
  counts: Float64Array;
  /** Of how much they moved. */
  sums: Float64Array;
}

function cellsOf(
  rows: readonly ChangeRow[],
  unitNumber: ReadonlyMap<string, number>,
  cohortNumber: ReadonlyMap<string, number>,
): Cells {
  const byUnit = Array.from(unitNumber, () => new Map<number, { count: number; sum: number }>());
  for (const { unit, cohort, changed, before, after } of rows) {
    const own = byUnit[unitNumber.get(unit)!]!;
    const group = 2 * cohortNumber.get(cohort)! + (changed ? 0 : 1);
    const cell = own.get(group);
    if (cell === undefined) own.set(group, { count: 1, sum: after - before });
    else {
      cell.count++;
      cell.sum += after - before;
    }
  }
  const firstOf = new Int32Array(byUnit.length + 1);
  byUnit.forEach(({ size }, unit) => (firstOf[unit + 1] = firstOf[unit]! + size));
  const all = byUnit.flatMap((own) => [...own]);
  return {
    firstOf,
    groupOf: Int32Array.from(all, ([group]) => group),
    counts: Float64Array.from(all, ([, { count }]) => count),
    sums: Float64Array.from(all, ([, { sum }]) => sum),
  };
}

/** Mean over the cohorts, weighted by their changed units, of how much more these moved than the others. */
function pooledEffect(
  { firstOf, groupOf, counts, sums }: Cells,
  cohorts: number,
  times: Int32Array,
): number | null {
  const moved = new Float64Array(2 * cohorts);
  const totals = new Float64Array(2 * cohorts);
  for (let unit = 0; unit < times.length; unit++) {
    const weight = times[unit]!;
    if (weight === 0) continue;
    for (let cell = firstOf[unit]!; cell < firstOf[unit + 1]!; cell++) {
      const group = groupOf[cell]!;
      moved[group]! += weight * sums[cell]!;
      totals[group]! += weight * counts[cell]!;
    }
  }
  let [effect, total] = [0, 0];
  for (let group = 0; group < totals.length; group += 2) {
    const [changed, others] = [totals[group]!, totals[group + 1]!];
    if (changed === 0 || others === 0) continue;
    effect += changed * (moved[group]! / changed - moved[group + 1]! / others);
    total += changed;
  }
  return total === 0 ? null : effect / total;
}
