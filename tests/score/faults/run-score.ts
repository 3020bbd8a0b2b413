import { faultLevels, type Fault, type FaultLevels, type Severity } from '@coldrounds/simulator';
import type { UnitNormal } from '@coldrounds/core';
import { faultPairs } from './fault-pairs.js';
import { runFaulty, runHealthy, type CaseResult, type HealthyResult } from './run-case.js';
import type { FaultRow } from './tally.js';
import { buildFor, testUnit, type Build } from './test-fleet.js';

export interface ScoreOptions {
  seed: number;
  /** The first unit of the seed's fleet that is taken: parts of a run go side by side. */
  first: number;
  /** Units per fault and severity. */
  units: number;
  /** Units in which nothing is wrong. */
  healthy: number;
  /** Units per pair of faults, and per fault with a slow onset. */
  pairUnits: number;
  slowUnits: number;
  severities: readonly Severity[];
  /** Which faults, by name. */
  only: (name: string) => boolean;
}

export interface PairRow {
  pair: readonly [string, string];
  results: CaseResult[];
}

export interface Score {
  seeds: number[];
  healthy: HealthyResult[];
  rows: FaultRow[];
  /** Heavy faults that grow over most of the days that are judged. */
  slow: FaultRow[];
  pairs: PairRow[];
}

/** A slow onset takes this long, of the seven days that are judged. */
export const slowOnset_days = 6;

/** What is told of a run on its way: a line, and everything so far. */
export type Progress = (line: string, soFar: Score) => void;

/** Runs all cases. What a unit does while nothing is wrong is simulated and learned once, and used for all its faults. */
export function runScore(options: ScoreOptions, progress: Progress = () => undefined): Score {
  const { seed, units, only } = options;
  const from = (count: number) => Array.from({ length: count }, (_, i) => options.first + i);
  const healthyOf = keptHealthy(seed);
  const score: Score = { seeds: [seed], healthy: [], rows: [], slow: [], pairs: [] };
  for (const i of from(options.healthy)) score.healthy.push(healthyOf('plain', i));
  progress(`${options.healthy} units with nothing wrong`, score);
  const asked = faultLevels.filter(({ name }) => only(name));
  const run = (rows: FaultRow[], fault: FaultLevels, severity: Severity, count: number, slow: boolean) => {
    const results = from(count).map((i) => runOne(seed, i, [fault], severity, healthyOf, slow));
    rows.push({ fault: fault.name, severity, results });
    const right = results.filter(({ stated }) => stated[0]?.right).length;
    progress(`${fault.name}, ${slow ? 'slow onset' : severity}: ${right} of ${count} right`, score);
  };
  for (const fault of asked)
    for (const severity of options.severities) run(score.rows, fault, severity, units, false);
  if (options.slowUnits > 0)
    for (const fault of asked.filter(({ slow }) => slow))
      run(score.slow, fault, 'heavy', options.slowUnits, true);
  if (options.pairUnits > 0)
    for (const pair of faultPairs) {
      const both = pair.map(faultCalled);
      const results = from(options.pairUnits).map((i) => runOne(seed, i, both, 'medium', healthyOf));
      score.pairs.push({ pair, results });
      const named = results.filter((one) => one.named.every(Boolean)).length;
      progress(`${pair.join(' + ')}: both named in ${named} of ${results.length}`, score);
    }
  return score;
}

type HealthyOf = (build: Build, index: number) => HealthyResult;

function keptHealthy(seed: number): HealthyOf {
  const kept = new Map<string, HealthyResult>();
  return (build, index) => {
    const key = `${build} ${index}`;
    let known = kept.get(key);
    if (!known) {
      known = runHealthy(testUnit(seed, index, build));
      kept.set(key, known);
    }
    return known;
  };
}

function runOne(
  seed: number,
  index: number,
  faults: readonly FaultLevels[],
  severity: Severity,
  healthyOf: HealthyOf,
  slow = false,
): CaseResult {
  const build = faults.map(buildFor).find((one) => one !== 'plain') ?? 'plain';
  const unit = testUnit(seed, index, build);
  const normal: UnitNormal | null = faults.some(({ builtIn }) => builtIn)
    ? null
    : healthyOf(build, index).normal;
  return runFaulty(
    unit,
    faults.map((fault) => placed(fault, severity, slow)),
    normal,
  );
}

/** Faults of one circuit are put into the first. */
const placed = ({ levels, ofUnit }: FaultLevels, severity: Severity, slow: boolean): Fault => ({
  ...levels[severity],
  ...(ofUnit ? {} : { circuit: 1 }),
  ...(slow ? { growsOverDays: slowOnset_days } : {}),
});

function faultCalled(name: string): FaultLevels {
  const fault = faultLevels.find((one) => one.name === name);
  if (!fault) throw new Error(`there is no fault "${name}"`);
  return fault;
}
