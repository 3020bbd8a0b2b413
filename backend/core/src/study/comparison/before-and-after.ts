import { leastCompared } from './compare-groups.js';
import { resampledFigure, type ResampledFigure, type ResamplingOptions } from './unit-resampling.js';

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
 * The interval is from drawing units (`resampledFigure`). A cohort without others to compare with is left out.
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
  const stratumOf = new Array<number>(names.length).fill(0);
  cells.unitOf.forEach((unit, cell) => (stratumOf[unit]! |= 1 + (cells.groupOf[cell]! % 2)));
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
  const effect = resampledFigure(
    cells.unitOf,
    stratumOf,
    (weights) => pooledEffect(cells, cohorts.length, weights),
    { ...options, degrees: Math.min(...units) - 1 },
  );
  return effect === null ? { ...result, notTold: 'too-few' } : { ...result, effect };
}

/** Rows of one unit in one group added up: units are drawn whole, so that more than their sums is not needed. */
interface Cells {
  unitOf: number[];
  /** Twice the number of the cohort, one more for those without the change. */
  groupOf: number[];
  counts: number[];
  /** Of how much they moved. */
  sums: number[];
}

function cellsOf(
  rows: readonly ChangeRow[],
  unitNumber: ReadonlyMap<string, number>,
  cohortNumber: ReadonlyMap<string, number>,
): Cells {
  const cells: Cells = { unitOf: [], groupOf: [], counts: [], sums: [] };
  const known = new Map<number, number>();
  for (const { unit, cohort, changed, before, after } of rows) {
    const group = 2 * cohortNumber.get(cohort)! + (changed ? 0 : 1);
    const key = 2 * cohortNumber.size * unitNumber.get(unit)! + group;
    let cell = known.get(key);
    if (cell === undefined) {
      known.set(key, (cell = cells.unitOf.length));
      cells.unitOf.push(unitNumber.get(unit)!);
      cells.groupOf.push(group);
      cells.counts.push(0);
      cells.sums.push(0);
    }
    cells.counts[cell]!++;
    cells.sums[cell]! += after - before;
  }
  return cells;
}

/** Mean over the cohorts, weighted by their changed units, of how much more these moved than the others. */
function pooledEffect(
  { groupOf, counts, sums }: Cells,
  cohorts: number,
  weights: Float64Array,
): number | null {
  const moved = new Float64Array(2 * cohorts);
  const totals = new Float64Array(2 * cohorts);
  for (let cell = 0; cell < groupOf.length; cell++) {
    const group = groupOf[cell]!;
    moved[group]! += weights[cell]! * sums[cell]!;
    totals[group]! += weights[cell]! * counts[cell]!;
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
