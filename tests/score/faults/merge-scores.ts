import type { CaseResult } from './run-case.js';
import type { PairRow, Score } from './run-score.js';
import type { FaultRow } from './tally.js';
import type { TestUnit } from './test-fleet.js';

/** Parts of a run, or runs with different seeds, as one; a case that two parts ran counts once. */
export function mergeScores(parts: readonly Score[]): Score {
  const [first, ...others] = parts;
  if (!first) throw new Error('there is no score to merge');
  const merged: Score = structuredClone(first);
  for (const other of others) {
    merged.seeds = [...new Set([...merged.seeds, ...other.seeds])];
    merged.healthy.push(...notIn(merged.healthy, other.healthy));
    for (const name of ['rows', 'slow'] as const)
      addResults<FaultRow>(merged[name], other[name], ({ fault, severity }) => `${fault} ${severity}`);
    addResults<PairRow>(merged.pairs, other.pairs, ({ pair }) => pair.join('+'));
  }
  return merged;
}

function addResults<Row extends { results: CaseResult[] }>(
  rows: Row[],
  more: readonly Row[],
  keyOf: (row: Row) => string,
): void {
  for (const row of more) {
    const own = rows.find((one) => keyOf(one) === keyOf(row));
    if (own) own.results.push(...notIn(own.results, row.results));
    else rows.push(row);
  }
}

/** Those of more whose unit is not among the known ones. */
function notIn<Result extends { unit: TestUnit }>(
  known: readonly Result[],
  more: readonly Result[],
): Result[] {
  const units = new Set(known.map(({ unit }) => JSON.stringify(unit.case)));
  return more.filter(({ unit }) => !units.has(JSON.stringify(unit.case)));
}
