import { pathToFileURL } from 'node:url';
import type { Finding } from '@coldrounds/core';
import { simulateCircuit, type SimulatedCircuit } from '@coldrounds/simulator';
import { findingsOf } from './assess-unit.js';
import { siteFaults, type SiteFault } from './site-faults.js';
import { scoreBiased } from './biased-sensors.js';
import { scoreMixed } from './mixed-habits.js';
import { furtherHabits, siteHabits } from './site-habits.js';
import { aboveWatch, inWords, joined, unitCase, type SiteHabit } from './site-units.js';
import { scoreRegistry } from './wrong-registry.js';

/**
 * How often something false is said on units with the habits of real sites, and how often a fault is still named.
 * `npm run score -- sites [--seed N] [--units N] [--faulty N] [--days N] [--part habits|biased|registry|mixed] [--habit TEXT] [--fault TEXT]`
 */
export interface SitesOptions {
  seed: number;
  /** Healthy units, and faulty ones, per habit. */
  units: number;
  faulty: number;
  days: number;
  /** Of the faults by name, those that contain this alone. */
  fault?: string;
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
  /** Faults that were not named, by unit. */
  unnamed: string[];
  /** Faulty units with a finding above `watch` that neither names the fault nor follows from it. */
  wrong: number;
  wrongFindings: string[];
}

export function scoreHabit(
  habit: SiteHabit,
  { seed, units, faulty, days, fault: only = '' }: SitesOptions,
): HabitScore {
  const faults = siteFaults.filter(({ name }) => name.includes(only));
  const score: HabitScore = {
    habit: habit.name,
    healthy: units,
    falseAlarms: 0,
    falseFindings: [],
    watched: 0,
    watchedFindings: [],
    faulty,
    named: 0,
    unnamed: [],
    wrong: 0,
    wrongFindings: [],
  };
  for (let unit = 0; unit < units; unit++) {
    const findings = findingsOf(
      receivedOf(habit, simulateCircuit(joined(unitCase(seed, unit, days), habit.case(unit))), unit),
    );
    const alarms = findings.filter(aboveWatch);
    if (alarms.length > 0) score.falseAlarms++;
    score.falseFindings.push(...alarms.map((finding) => `unit ${unit} ${inWords(finding)}`));
    const watched = findings.filter((finding) => !aboveWatch(finding));
    score.watched += watched.length;
    score.watchedFindings.push(...watched.map((finding) => `unit ${unit} ${inWords(finding)}`));
  }
  for (let unit = 0; unit < faulty; unit++) {
    const fault = faults[unit % faults.length]!;
    const input = joined(unitCase(seed + 500, unit, days), fault.case, habit.case(unit));
    if (fault.case.load && habit.case(unit).load)
      input.load = { ...fault.case.load, ...habit.case(unit).load };
    scoreFault(score, fault, unit, findingsOf(receivedOf(habit, simulateCircuit(input), unit)));
  }
  return score;
}

const receivedOf = ({ received }: SiteHabit, simulated: SimulatedCircuit, unit: number): SimulatedCircuit =>
  received ? received(simulated, unit) : simulated;

function scoreFault(score: HabitScore, fault: SiteFault, unit: number, findings: Finding[]): void {
  if (findings.some(fault.named)) score.named++;
  else
    score.unnamed.push(
      `unit ${unit} ${fault.name} not named: ${findings.map(inWords).join('; ') || 'nothing said'}`,
    );
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

/** How habits are scored, and what else: by `--part`, all of them when it is left out. */
const parts: Record<string, (options: SitesOptions, only: string) => void> = {
  habits(options, only) {
    for (const habit of siteHabits.filter(({ name }) => name.includes(only))) {
      const started = Date.now();
      const score = scoreHabit(habit, furtherHabits.includes(habit) ? furtherOptions(options) : options);
      console.log(`${inLine(score)} (${((Date.now() - started) / 1000).toFixed(0)} s)`);
      list([...score.falseFindings, ...score.watchedFindings, ...score.wrongFindings, ...score.unnamed]);
    }
  },
  biased({ seed, days }) {
    const { units, found, right, wrong } = scoreBiased({ seed, units: 48, days });
    console.log(
      `biased suction sensor: ${units} units, ${found} found, verdict on floodback right on ${right}`,
    );
    list(wrong);
  },
  registry({ seed }) {
    const { units, found, missed, healthy, falsely } = scoreRegistry({ seed, units: 40, healthy: 60 });
    console.log(
      `wrong registry, stops of 6 min: ${units} units, ${found} found in 2 days; ${healthy} healthy unit-weeks, ${falsely.length} false`,
    );
    list([...missed, ...falsely]);
  },
  mixed({ seed }) {
    const { units, falseAlarms, falsely, watched } = scoreMixed({ seed, units: 20 });
    console.log(`mixed habits, healthy: ${units} unit-months, ${falseAlarms} with findings above watch`);
    list([...falsely, ...watched.map((line) => `watch: ${line}`)]);
  },
};

/** Of further habits half as many healthy units are taken, and no faulty ones. */
const furtherOptions = (options: SitesOptions): SitesOptions => ({
  ...options,
  units: Math.ceil(options.units / 2),
  faulty: 0,
});

const list = (lines: readonly string[]) => lines.forEach((line) => console.log(`    ${line}`));

/** Runs what the command line asks for. */
export function main(argv: readonly string[]): void {
  const text = (name: string, otherwise: string) => {
    const at = argv.indexOf(`--${name}`);
    return at >= 0 ? argv[at + 1]! : otherwise;
  };
  const number = (name: string, otherwise: number) => Number(text(name, String(otherwise)));
  const options: SitesOptions = {
    seed: number('seed', Math.floor(1e6 * Math.random())),
    units: number('units', 12),
    faulty: number('faulty', 36),
    days: number('days', 7),
    fault: text('fault', ''),
  };
  console.log(`seed ${options.seed}, ${options.days} days`);
  const part = text('part', '');
  for (const [name, run] of Object.entries(parts)) if (name.includes(part)) run(options, text('habit', ''));
}

if (process.argv[2] && import.meta.url === pathToFileURL(process.argv[2]).href) main(process.argv.slice(3));
