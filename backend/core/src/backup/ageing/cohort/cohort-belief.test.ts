import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../../numerics/index.js';
import type { AgeingMonth } from '../ageing-months.js';
import { ageingKinds, usualBelief, type AgeingKind } from '../models/index.js';
import { beliefFor, cohortAgeing } from './cohort-belief.js';
import { cohortEvidence, type ByKind, type CohortEvidence } from './cohort-evidence.js';
import { learnBelief } from './learn-belief.js';

const each = (of: (kind: AgeingKind) => number) =>
  Object.fromEntries(ageingKinds.map((kind) => [kind, of(kind)])) as ByKind;
const flat = each(() => 1);
const certain = (way: AgeingKind) => each((kind) => (kind === way ? 1 : 0));

/** Months of a module at 298.15 K on average, with a season of 8 K; its tests scatter by so much. */
function monthsOf(
  course: (years: number) => number,
  count: number,
  seed: number,
  scatter = 0.003,
): AgeingMonth[] {
  const normal = normalDraws(seededRandom(seed));
  return Array.from({ length: count }, (_, i): AgeingMonth => {
    const years = (i + 0.5) / 12;
    const capacitance_F = course(years) * (1 + scatter * normal());
    return {
      month_s: i * 30.4 * 86400,
      age_d: years * 365.25,
      weightedAge_d: years * 365.25,
      meanTemperature_K: 298.15 + 8 * Math.sin(2 * Math.PI * years),
      capacitance_F,
      capacitanceUncertainty_F: scatter,
      esr_Ohm: null,
      esrUncertainty_Ohm: null,
      relativeCapacitance: capacitance_F,
      relativeEsr: null,
      tests: 30,
    };
  });
}

/** Modules that have lost 55 % after 3 to 8 years, seen for 3 to 5. */
const courses: Record<string, (years: number, life: number) => number> = {
  straight: (years, life) => 1 - (0.55 * years) / life,
  'constant-fraction': (years, life) => 0.45 ** (years / life),
  'root-of-age': (years, life) => 1 - 0.55 * Math.sqrt(years / life),
  'change-of-pace': (years, life) => 1 - 0.01 * years - 0.2 * Math.max(0, years - life / 3),
};
const cohortOf = (course: (typeof courses)[string], size: number, seed: number) => {
  const random = seededRandom(seed);
  return Array.from({ length: size }, (_, i) => {
    const life = 3 + 5 * random();
    const months = monthsOf(
      (years) => course(years, life),
      Math.floor(12 * Math.min(life, 3 + 2 * random())),
      seed + i,
    );
    return { part: i % 10, evidence: cohortEvidence(months)! };
  });
};

describe('the belief learned from a cohort', () => {
  it('is the posterior mean of a Dirichlet distribution where each module shows its way for certain', () => {
    // Prior worth 3 modules; 5 % of it for the way that the usual belief leaves out.
    const learned = learnBelief([...Array<ByKind>(6).fill(certain('straight')), certain('root-of-age')]);
    expect(learned.straight).toBeCloseTo((6 + 3 * 0.95 * usualBelief.straight) / 10, 12);
    expect(learned['root-of-age']).toBeCloseTo((1 + 3 * 0.05) / 10, 12);
    expect(learned.slowing).toBeCloseTo((3 * 0.95 * usualBelief.slowing) / 10, 12);
  });

  it('stays the usual one where no module tells the ways apart', () => {
    const learned = learnBelief(Array<ByKind>(40).fill(flat));
    // Draws of a wide distribution: its mean is met to some points.
    for (const kind of ageingKinds)
      expect(Math.abs(learned[kind] - 0.95 * usualBelief[kind])).toBeLessThan(0.12);
  });

  it.each(Object.keys(courses))('finds that %s is how 40 modules age', (way) => {
    const { belief, used, modules } = cohortAgeing(cohortOf(courses[way]!, 40, 7));
    expect(modules).toBe(40);
    expect(belief[way as AgeingKind]).toBeGreaterThan(0.75);
    if (way === 'root-of-age' || way === 'change-of-pace') expect(used).toBe(true);
  });
});

describe('a cohort', () => {
  const root = cohortOf(courses['root-of-age']!, 40, 11);

  it('is used from 20 modules on', () => {
    expect(cohortAgeing(root.slice(0, 19)).used).toBe(false);
    expect(cohortAgeing(root.slice(0, 20)).used).toBe(true);
    expect(cohortAgeing([])).toMatchObject({ modules: 0, used: false });
  });

  it('is not used where it predicts the months held out no better than the usual belief', () => {
    const blind: CohortEvidence = { likelihood: certain('root-of-age'), earlier: flat, predicted: flat };
    expect(
      cohortAgeing(Array.from({ length: 40 }, (_, i) => ({ part: i % 10, evidence: blind }))),
    ).toMatchObject({
      used: false,
      gain: expect.closeTo(0, 9),
    });
    // Learned as one way, while the months held out go another.
    const wrong: CohortEvidence = { ...blind, predicted: certain('straight') };
    const misled = cohortAgeing(Array.from({ length: 40 }, (_, i) => ({ part: i % 10, evidence: wrong })));
    expect(misled.gain).toBeLessThan(0);
    expect(misled.used).toBe(false);
  });

  it('tells a module nothing that was learned from it', () => {
    const other = root.map((member, i) =>
      i === 13 ? { ...member, evidence: { ...member.evidence, likelihood: certain('straight') } } : member,
    );
    const [before, after] = [cohortAgeing(root), cohortAgeing(other)];
    expect(beliefFor(after, 13)).toEqual(beliefFor(before, 13));
    expect(beliefFor(after, 14)).not.toEqual(beliefFor(before, 14));
  });
});

describe('what a module tells of its way of ageing', () => {
  const straight = monthsOf((years) => 1 - 0.1 * years, 36, 3);

  it('takes 18 months with a temperature, after a sudden change', () => {
    expect(cohortEvidence(straight.slice(0, 17))).toBeNull();
    expect(cohortEvidence(straight.slice(0, 18))).not.toBeNull();
    expect(cohortEvidence(straight, straight[17]!.month_s)).not.toBeNull();
    expect(cohortEvidence(straight, straight[18]!.month_s)).toBeNull();
    expect(cohortEvidence(straight.map((month) => ({ ...month, meanTemperature_K: null })))).toBeNull();
  });

  it('is nothing where its months follow no way of ageing', () => {
    const jumping = straight.map((month, i) => ({
      ...month,
      capacitance_F: month.capacitance_F * (Math.floor(i / 9) % 2 ? 0.8 : 1),
    }));
    expect(cohortEvidence(jumping)).toBeNull();
  });

  it('prefers the way that it was made by, and predicts its later months best by it', () => {
    const { likelihood, predicted, earlier } = cohortEvidence(
      monthsOf((years) => 1 - 0.25 * Math.sqrt(years), 48, 5),
    )!;
    const best = (of: (kind: AgeingKind) => number) =>
      ageingKinds.reduce((most, kind) => (of(kind) > of(most) ? kind : most));
    expect(best((kind) => likelihood[kind])).toBe('root-of-age');
    expect(best((kind) => predicted[kind] / earlier[kind])).toBe('root-of-age');
  });

  it('does not take a warm season for another way: months 0.0008 per K off', () => {
    const warm = straight.map((month) => ({
      ...month,
      capacitance_F: month.capacitance_F * Math.exp(0.0008 * (month.meanTemperature_K! - 298.15)),
    }));
    const [with_, without] = [cohortEvidence(warm)!, cohortEvidence(straight)!];
    for (const { likelihood } of [with_, without])
      expect(likelihood['change-of-pace']).toBeLessThan(likelihood.straight);
  });
});
