import { seededRandom } from '@coldrounds/core';
import { simulateCircuit, type CircuitCase } from '@coldrounds/simulator';
import { findingsOf, weekOf } from './assess-unit.js';
import { runningHabits, sendingHabits } from './site-habits.js';
import { aboveWatch, inWords, joined, unitCase } from './site-units.js';

/** What is claimed on healthy units over a month, each with two habits of sending and, mostly, one of running. */
export interface MixedScore {
  units: number;
  /** Units with a finding above `watch` at the end of any of the four weeks. */
  falseAlarms: number;
  falsely: string[];
  watched: string[];
}

const weeks = 4;

function mixedCase(seed: number, unit: number): { habits: string; case: CircuitCase } {
  const random = seededRandom(seed + 31 * unit);
  // Neighbouring seeds begin alike.
  for (let skip = 0; skip < 20; skip++) random();
  const oneOf = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!;
  const sent = [oneOf(sendingHabits), oneOf(sendingHabits)];
  const runs = random() < 0.8 ? [oneOf(runningHabits)] : [];
  const sending = Object.assign(
    {},
    ...sent.map((habit) => habit.case(unit).sending),
  ) as CircuitCase['sending'];
  return {
    habits: [...sent, ...runs].map(({ name }) => name).join(', '),
    case: joined(unitCase(seed, unit, 7 * weeks), ...runs.map((habit) => habit.case(unit)), { sending }),
  };
}

export function scoreMixed({ seed, units }: { seed: number; units: number }): MixedScore {
  const score: MixedScore = { units, falseAlarms: 0, falsely: [], watched: [] };
  for (let unit = 0; unit < units; unit++) {
    const mixed = mixedCase(seed, unit);
    const simulated = simulateCircuit(mixed.case);
    let alarmed = false;
    for (let week = 0; week < weeks; week++)
      for (const finding of findingsOf(weekOf(simulated, week))) {
        const above = aboveWatch(finding);
        alarmed ||= above;
        (above ? score.falsely : score.watched).push(
          `unit ${unit} (${mixed.habits}), week ${week + 1}: ${inWords(finding)}`,
        );
      }
    if (alarmed) score.falseAlarms++;
  }
  return score;
}
