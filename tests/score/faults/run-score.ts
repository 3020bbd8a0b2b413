import { faultLevels, severities, type Fault, type FaultLevels, type Severity } from '@coldrounds/simulator';
import type { UnitNormal } from '@coldrounds/core';
import { faultPairs } from './fault-pairs.js';
import { runFaulty, runHealthy, type CaseResult, type HealthyResult } from './run-case.js';
import type { FaultRow } from './tally.js';
import { buildFor, testUnit, type Build } from './test-fleet.js';

export interface ScoreOptions {
  seed: number;
  /** Units per fault and severity. */
  units: number;
  /** Units in which nothing is wrong. */
  healthy: number;
  /** Units per pair of faults. */
  pairUnits: number;
  severities: readonly Severity[];
  /** Only faults whose name contains this. */
  only: string;
}

export interface PairRow {
  pair: readonly [string, string];
  results: CaseResult[];
}

export interface Score {
  options: ScoreOptions;
  healthy: HealthyResult[];
  rows: FaultRow[];
  pairs: PairRow[];
}

/** Runs all cases. What a unit does while nothing is wrong is simulated and learned once, and used for all its faults. */
export function runScore(options: ScoreOptions, say: (line: string) => void = () => undefined): Score {
  const healthyOf = keptHealthy(options.seed);
  const healthy: HealthyResult[] = [];
  for (let i = 0; i < options.healthy; i++) healthy.push(healthyOf('plain', i));
  say(`${healthy.length} units with nothing wrong`);
  const rows: FaultRow[] = [];
  for (const fault of faultLevels.filter(({ name }) => name.includes(options.only)))
    for (const severity of options.severities) {
      const results: CaseResult[] = [];
      for (let i = 0; i < options.units; i++)
        results.push(runOne(options.seed, i, [fault], severity, healthyOf));
      rows.push({ fault: fault.name, severity, results });
      const right = results.filter(({ stated }) => stated[0]?.right).length;
      say(`${fault.name}, ${severity}: ${right} of ${results.length} right`);
    }
  const pairs = faultPairs.slice(0, options.pairUnits === 0 ? 0 : faultPairs.length).map((pair) => {
    const both = pair.map(faultCalled);
    const results: CaseResult[] = [];
    for (let i = 0; i < options.pairUnits; i++)
      results.push(runOne(options.seed, i, both, 'medium', healthyOf));
    say(
      `${pair.join(' + ')}: ${results.filter(({ named }) => named.every(Boolean)).length} of ${results.length}`,
    );
    return { pair, results };
  });
  return { options, healthy, rows, pairs };
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
): CaseResult {
  const build = faults.map(buildFor).find((one) => one !== 'plain') ?? 'plain';
  const unit = testUnit(seed, index, build);
  const normal: UnitNormal | null = faults.some(({ builtIn }) => builtIn)
    ? null
    : healthyOf(build, index).normal;
  return runFaulty(
    unit,
    faults.map((fault) => placed(fault, severity)),
    normal,
  );
}

/** Faults of one circuit are put into the first. */
const placed = ({ levels, ofUnit }: FaultLevels, severity: Severity): Fault =>
  ofUnit ? levels[severity] : { ...levels[severity], circuit: 1 };

function faultCalled(name: string): FaultLevels {
  const fault = faultLevels.find((one) => one.name === name);
  if (!fault) throw new Error(`there is no fault "${name}"`);
  return fault;
}

export const allSeverities = severities;
