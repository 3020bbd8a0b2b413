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
  const cohorts = [...new Set(rows.map(({ cohort }) => cohort))].filter((cohort) =>
    [true, false].every((changed) => rows.some((row) => row.cohort === cohort && row.changed === changed)),
  );
  const place = new Map(cohorts.map((cohort, index) => [cohort, index]));
  const own = rows.filter(({ cohort }) => place.has(cohort));
  const names = [...new Set(own.map(({ unit }) => unit))];
  const number = new Map(names.map((name, index) => [name, index]));
  const unitOf = own.map(({ unit }) => number.get(unit)!);
  const stratumOf = new Array<number>(names.length).fill(0);
  own.forEach(({ changed }, row) => (stratumOf[unitOf[row]!]! |= changed ? 1 : 2));
  const units = [1, 2].map((side) => stratumOf.filter((stratum) => (stratum & side) !== 0).length) as [
    number,
    number,
  ];
  const moved = Float64Array.from(own, ({ before, after }) => after - before);
  const cohortOf = Int32Array.from(own, ({ cohort }) => place.get(cohort)!);
  const by = (changed: boolean) => {
    const values = own.flatMap((row, index) => (row.changed === changed ? [moved[index]!] : []));
    return values.length === 0 ? null : values.reduce((sum, value) => sum + value, 0) / values.length;
  };
  const result: ChangeEffect = {
    effect: null,
    notTold: null,
    changedBy: by(true),
    othersBy: by(false),
    units,
  };
  if (Math.min(...units) < leastCompared) return { ...result, notTold: 'too-few' };
  const effect = resampledFigure(
    unitOf,
    stratumOf,
    (weights) => pooledEffect(own, moved, cohortOf, cohorts.length, weights),
    { ...options, degrees: Math.min(...units) - 1 },
  );
  return effect === null ? { ...result, notTold: 'too-few' } : { ...result, effect };
}

/** Mean over the cohorts, weighted by their changed units, of how much more these moved than the others. */
function pooledEffect(
  rows: readonly ChangeRow[],
  moved: Float64Array,
  cohortOf: Int32Array,
  cohorts: number,
  weights: Float64Array,
): number | null {
  const sums = [new Float64Array(cohorts), new Float64Array(cohorts)];
  const totals = [new Float64Array(cohorts), new Float64Array(cohorts)];
  for (let row = 0; row < moved.length; row++) {
    const side = rows[row]!.changed ? 0 : 1;
    sums[side]![cohortOf[row]!]! += weights[row]! * moved[row]!;
    totals[side]![cohortOf[row]!]! += weights[row]!;
  }
  let [effect, total] = [0, 0];
  for (let cohort = 0; cohort < cohorts; cohort++) {
    const [changed, others] = [totals[0]![cohort]!, totals[1]![cohort]!];
    if (changed === 0 || others === 0) continue;
    effect += changed * (sums[0]![cohort]! / changed - sums[1]![cohort]! / others);
    total += changed;
  }
  return total === 0 ? null : effect / total;
}
