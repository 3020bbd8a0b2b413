import { pathToFileURL } from 'node:url';
import type { Finding } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase } from '@coldrounds/simulator';
import { findingsOf } from './assess-unit.js';
import { siteFaults, type SiteFault } from './site-faults.js';
import { siteHabits, type SiteHabit } from './site-habits.js';

/**
 * How often something false is said on units with the habits of real sites, and how often a fault is still named.
 * `npm run score -- sites [--seed N] [--units N] [--faulty N] [--days N] [--habit TEXT]`
 */
export interface SitesOptions {
  seed: number;
  /** Healthy units, and faulty ones, per habit. */
  units: number;
  faulty: number;
  days: number;
}

export interface HabitScore {
  habit: string;
  healthy: number;
  /** Healthy units with a finding above `watch`, and those findings in words. */
  falseAlarms: number;
  falseFindings: string[];
  watched: number;
  watchedFindings: string[];
  faulty: number;
  named: number;
  /** Faulty units with a finding above `watch` that neither names the fault nor follows from it. */
  wrong: number;
  wrongFindings: string[];
}

const refrigerants = ['R134a', 'R410A', 'R1234ze(E)', 'R454B', 'R32', 'R513A'] as const;

function unitCase(seed: number, unit: number, days: number): CircuitCase {
  return {
    seed: seed + unit,
    days,
    refrigerant: refrigerants[unit % refrigerants.length]!,
    condenser: unit % 2 === 0 ? 'water' : 'air',
    capacity_W: 120e3 + 40e3 * (unit % 6),
  };
}

/** One case of several parts; faults and load of a later part replace those of an earlier one. */
const joined = (...parts: Partial<CircuitCase>[]): CircuitCase => Object.assign({}, ...parts) as CircuitCase;

const aboveWatch = ({ urgency }: Finding): boolean => urgency !== 'watch';

const inWords = (finding: Finding): string => {
  const [first] = finding.explanations;
  const subject = finding.subject.kind === 'sensor' ? `${finding.subject.sensor} ` : '';
  const cause = first ? `: ${first.cause} ${first.weight.toFixed(2)}` : '';
  return `${subject}${finding.condition} (${finding.certainty}, ${finding.urgency}${cause})`;
};

export function scoreHabit(habit: SiteHabit, { seed, units, faulty, days }: SitesOptions): HabitScore {
  const score: HabitScore = {
    habit: habit.name,
    healthy: units,
    falseAlarms: 0,
    falseFindings: [],
    watched: 0,
    watchedFindings: [],
    faulty,
    named: 0,
    wrong: 0,
    wrongFindings: [],
  };
  for (let unit = 0; unit < units; unit++) {
    const findings = findingsOf(simulateCircuit(joined(unitCase(seed, unit, days), habit.case(unit))));
    const alarms = findings.filter(aboveWatch);
    if (alarms.length > 0) score.falseAlarms++;
    score.falseFindings.push(...alarms.map((finding) => `unit ${unit} ${inWords(finding)}`));
    const watched = findings.filter((finding) => !aboveWatch(finding));
    score.watched += watched.length;
    score.watchedFindings.push(...watched.map((finding) => `unit ${unit} ${inWords(finding)}`));
  }
  for (let unit = 0; unit < faulty; unit++) {
    const fault = siteFaults[unit % siteFaults.length]!;
    const input = joined(unitCase(seed + 500, unit, days), fault.case, habit.case(unit));
    if (fault.case.load && habit.case(unit).load)
      input.load = { ...fault.case.load, ...habit.case(unit).load };
    scoreFault(score, fault, unit, findingsOf(simulateCircuit(input)));
  }
  return score;
}

function scoreFault(score: HabitScore, fault: SiteFault, unit: number, findings: Finding[]): void {
  if (findings.some(fault.named)) score.named++;
  const wrong = findings.filter(
    (finding) => aboveWatch(finding) && !fault.named(finding) && !isConsequence(fault, finding),
  );
  if (wrong.length > 0) score.wrong++;
  score.wrongFindings.push(...wrong.map((finding) => `unit ${unit} ${fault.name} -> ${inWords(finding)}`));
}

/** A consequence may be told; hunting of another cause than the fault is a wrong diagnosis where it is surely said. */
function isConsequence({ follows }: SiteFault, finding: Finding): boolean {
  if (!follows.includes(finding.condition)) return false;
  return finding.condition !== 'hunting' || (finding.explanations[0]?.weight ?? 0) < 0.6;
}

export const inLine = (score: HabitScore): string =>
  `${score.habit.padEnd(36)} healthy ${score.healthy}: ${score.falseAlarms} with findings above watch, ${score.watched} watch; ` +
  `faulty ${score.faulty}: ${score.named} named, ${score.wrong} wrong`;

/** Runs what the command line asks for. */
export function main(argv: readonly string[]): void {
  const given = (name: string, otherwise: number) => {
    const at = argv.indexOf(`--${name}`);
    return at >= 0 ? Number(argv[at + 1]) : otherwise;
  };
  const options: SitesOptions = {
    seed: given('seed', Math.floor(1e6 * Math.random())),
    units: given('units', 12),
    faulty: given('faulty', 36),
    days: given('days', 7),
  };
  const at = argv.indexOf('--habit');
  const only = at >= 0 ? argv[at + 1]! : '';
  console.log(`seed ${options.seed}, ${options.days} days`);
  for (const habit of siteHabits.filter(({ name }) => name.includes(only))) {
    const started = Date.now();
    const score = scoreHabit(habit, options);
    console.log(`${inLine(score)} (${((Date.now() - started) / 1000).toFixed(0)} s)`);
    for (const line of [...score.falseFindings, ...score.watchedFindings, ...score.wrongFindings])
      console.log(`    ${line}`);
  }
}

if (process.argv[2] && import.meta.url === pathToFileURL(process.argv[2]).href) main(process.argv.slice(3));
