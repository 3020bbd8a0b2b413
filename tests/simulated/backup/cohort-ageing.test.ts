import { describe, expect, it } from 'vitest';
import {
  assessModule,
  beliefFor,
  cohortAgeing,
  cohortEvidence,
  type CohortAgeing,
  type LikeModules,
} from '@coldrounds/core';
import { seededRandom } from '@coldrounds/core/numerics';
import { ageingMonths, normaliseTests } from '../../../backend/core/src/backup/ageing/index.js';
import { printedSeed } from '../../published/random-series.js';
import { circuit, day_s, restingReadings, simulateModule, start_s } from './backup-fleet.js';
import { fractionInLimits } from './fraction-in-limits.js';
import { ageingCourses, moduleOfCourse, type AgeingCourse, type CourseModule } from './shape-fleet.js';

const now_s = Date.UTC(2026, 0, 1) / 1000;
const seed = printedSeed('modules that age alike');
const cohortModules = 60;
const judged = 160;

/** What 60 modules of all ages, tested weekly since they were new, tell of the way in which they age. */
function learned(random: () => number, course: AgeingCourse): CohortAgeing {
  const oldest_years = course === 'fast' ? 3 : 8;
  return cohortAgeing(
    Array.from({ length: cohortModules }, (_, i) => {
      const age_d = 365 * (0.8 + (oldest_years - 0.8) * random());
      const { module, closings } = moduleOfCourse(random, course, {
        now_s,
        age_d,
        seen_d: Infinity,
        everyDays: 7,
      });
      return {
        part: i % 10,
        evidence: cohortEvidence(ageingMonths(normaliseTests(closings, 10)!, module, 10)),
      };
    }).flatMap(({ part, evidence }) => (evidence ? [{ part, evidence }] : [])),
  );
}

const assessed = ({ module, closings }: CourseModule, like: LikeModules | null) =>
  assessModule({
    module,
    circuits: [circuit],
    closings,
    readings: restingReadings(now_s, closings.at(-1)!.temperature_K!, { step_s: 3600 }),
    now_s,
    like,
  });

/** Whether the true date under 1.5 lies between P10 and P90, of modules with over 60 days to go whose date is said to be within 1200 days. */
function dated(random: () => number, course: AgeingCourse, cohort: CohortAgeing): boolean[] {
  const inside: boolean[] = [];
  for (let i = 0; inside.length < judged; i++) {
    const age_d = course === 'fast' ? 200 + 500 * random() : 300 + 8 * 365 * random();
    const made = moduleOfCourse(random, course, { now_s, age_d, seen_d: 400, everyDays: 1 });
    const until_d = made.daysUntil(1.5);
    if (until_d < 60) continue;
    const { forecast } = assessed(made, beliefFor(cohort, i));
    const limit = forecast.state === 'forecast' ? forecast.limits[0]! : null;
    // Chosen by what is said, never by the truth.
    if (!limit?.date_s || limit.openEnded || limit.date_s.p50 - now_s > 1200 * day_s) continue;
    const truth_s = now_s + until_d * day_s;
    inside.push(truth_s >= limit.date_s.p10 && truth_s <= limit.date_s.p90);
  }
  return inside;
}

describe.each(ageingCourses)(`a fleet that ages by the course "%s" (seed ${seed})`, (course) => {
  const random = seededRandom(seed ^ (0x1f3d5b79 * (1 + ageingCourses.indexOf(course))));
  const cohort = learned(random, course);

  it('has its dates under 1.5 inside P10 to P90 in 75 to 90 % of cases, by the cohort where it is better', () => {
    const draw = () => dated(random, course, cohort);
    const { fraction, counted } = fractionInLimits(draw, draw, [0.75, 0.9]);
    console.log(
      `seed ${seed}, ${course}: ${cohort.modules} modules, ${cohort.used ? 'cohort' : 'usual belief'}, gain ` +
        `${cohort.gain.toFixed(2)} +- ${cohort.gainUncertainty.toFixed(2)}; ${counted} dated, ${(100 * fraction).toFixed(1)} % inside`,
    );
    expect(fraction).toBeGreaterThanOrEqual(0.75);
    expect(fraction).toBeLessThanOrEqual(0.9);
  });

  it('teaches nothing that has a sound module called failing', () => {
    const failing = ['cannot-close', 'reserve-fading', 'sudden-loss'];
    let sound = 0;
    for (let i = 0; i < 60; i++) {
      const made = simulateModule(random, { days: 400, kind: 'healthy' });
      const then_s = start_s + 400 * day_s + 3600;
      if (made.trueDate_s(1.5) - then_s < 730 * day_s) continue;
      sound++;
      const { findings } = assessModule({
        ...made,
        readings: restingReadings(then_s, made.closings.at(-1)!.temperature_K!, { step_s: 3600 }),
        now_s: then_s,
        // Whether it is used or not.
        like: { modules: cohort.modules, belief: cohort.belief },
      });
      expect(findings.map(({ condition }) => condition).filter((each) => failing.includes(each))).toEqual([]);
    }
    expect(sound).toBeGreaterThan(50);
  });
});

describe('a forecast by the cohort', () => {
  it('says of how many modules and which way', () => {
    const random = seededRandom(seed);
    const cohort = learned(random, 'square-root');
    expect(cohort.used).toBe(true);
    expect(cohort.belief['root-of-age']).toBeGreaterThan(0.8);
    for (let i = 0; i < 40; i++) {
      const made = moduleOfCourse(random, 'square-root', { now_s, age_d: 700, seen_d: 400, everyDays: 1 });
      const { forecast } = assessed(made, beliefFor(cohort, i));
      if (forecast.state !== 'forecast') continue;
      const said = forecast.basedOn.find(({ text }) => text.startsWith('Its like'))!;
      expect(said.text).toContain('square root of age');
      expect(said.quantities.modules!.value).toBe(cohort.modules);
      return;
    }
    throw new Error('none of 40 modules was given a date');
  });
});
