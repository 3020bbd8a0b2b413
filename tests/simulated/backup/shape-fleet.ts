import type { ClosingJudgement, ModuleEntry } from '@coldrounds/core';
import { normalDraws } from '@coldrounds/core/numerics';
import { day_s, drawTraits, firstDay, module, reserveAt, testOf } from './backup-fleet.js';

/** Courses of capacitance over age weighted for temperature, each with known truth. */
export const ageingCourses = [
  'straight',
  'square-root',
  'constant-fraction',
  'late-onset',
  'change-of-pace',
  'fast',
] as const;
export type AgeingCourse = (typeof ageingCourses)[number];

/** A module of any age at `now_s`, with the truth of its course. */
export interface CourseModule {
  module: ModuleEntry;
  closings: ClosingJudgement[];
  /** Days from now until the reserve from fully open at the coldest temperature falls under a limit; Infinity: not within 30 years. */
  daysUntil(limit: number): number;
}

export interface CourseOptions {
  now_s: number;
  /** Age in days. */
  age_d: number;
  /** Tests of the last so many days are there, every so many days. */
  seen_d: number;
  everyDays: number;
  /**
   * Left out: life doubles per 8 to 12.5 K and one year is 0.7 K off the next, as the forecast assumes of modules and
   * years that it knows nothing of. True: per 10 K and all years alike.
   */
  even?: boolean;
}

const year_d = 365.25;
const farthest_d = 30 * 366;

/** Fraction left of the new capacitance at a weighted age in years; the life is the weighted age at which 0.45 are left. */
function courseOf(course: AgeingCourse, between: (a: number, b: number) => number, seen: [number, number]) {
  const lost = 0.55;
  const least = 0.02;
  const straight = (life: number) => (a: number) => Math.max(least, 1 - (lost * a) / life);
  switch (course) {
    case 'straight':
      return straight(between(2, 12));
    case 'square-root': {
      const life = between(2, 12);
      return (a: number) => Math.max(least, 1 - lost * Math.sqrt(a / life));
    }
    case 'constant-fraction': {
      const life = between(2, 12);
      return (a: number) => (1 - lost) ** (a / life);
    }
    case 'late-onset': {
      // Sound for a while, and then worn within years.
      const onset = between(0.2, 0.9) * seen[1];
      const wear = between(1.5, 5);
      return (a: number) => Math.max(least, 1 - 0.01 * a - (lost * Math.max(0, a - onset)) / wear);
    }
    case 'change-of-pace': {
      const life = between(3, 10);
      const changed = seen[0] + between(0.2, 0.8) * (seen[1] - seen[0]);
      const factor = 2 ** between(-1.5, 1.5);
      return (a: number) =>
        Math.max(least, 1 - (lost / life) * (Math.min(a, changed) + factor * Math.max(0, a - changed)));
    }
    case 'fast':
      return straight(between(1.2, 3.5));
  }
}

/** A module whose capacitance follows the course from its installation on; temperature swings with season and weather, tests scatter. */
export function moduleOfCourse(
  random: () => number,
  course: AgeingCourse,
  options: CourseOptions,
): CourseModule {
  const { now_s, age_d, seen_d, everyDays, even = false } = options;
  const gauss = normalDraws(random);
  const between = (a: number, b: number) => a + (b - a) * random();
  const own = drawTraits(between, [20, 32], [3, 9]);
  const { mean_K, swing_K, phase, c0, r0 } = own;
  const doubling_K = even ? 10 : 10 * 1.25 ** between(-1, 1);
  const age = Math.floor(age_d);
  const from = Math.max(0, age - seen_d);

  let weather = 0;
  let year_K = 0;
  const temperature: number[] = [];
  const weighted = new Float64Array(age + farthest_d);
  for (let d = 0; d < weighted.length; d++) {
    weather = 0.75 * weather + 2.5 * gauss();
    if (!even && d % 365 === 0) year_K = 0.5 * gauss();
    const T = mean_K + year_K + swing_K * Math.sin((2 * Math.PI * (d - age)) / year_d + phase) + weather;
    if (d <= age) temperature.push(T);
    weighted[d] = (d > 0 ? weighted[d - 1]! : 0) + 2 ** ((T - 298.15) / doubling_K) / year_d;
  }
  const left = courseOf(course, between, [weighted[from]!, weighted[age]!]);
  const cAt = (d: number) => c0 * left(weighted[d]!);
  const rAt = (d: number) => r0 / Math.max(0.2, left(weighted[d]!)) ** 2;
  const closings: ClosingJudgement[] = [];
  let coldest_K = Infinity;
  for (let d = from; d <= age; d += everyDays) {
    const T = temperature[d]!;
    coldest_K = Math.min(coldest_K, T);
    closings.push(testOf(own, now_s - 3600 - (age - d) * day_s, T, cAt(d), rAt(d), gauss));
  }
  const reserveOn = (d: number) => reserveAt(own, coldest_K, cAt(d), rAt(d));
  return {
    module: { ...module, installedOn: new Date((now_s - age * day_s) * 1000).toISOString().slice(0, 10) },
    closings,
    daysUntil: (limit) => {
      const last = weighted.length - 1;
      if (reserveOn(last) > limit) return Infinity;
      if (reserveOn(age) <= limit) return 0;
      return firstDay(age, last, (d) => reserveOn(d) <= limit) - age;
    },
  };
}
