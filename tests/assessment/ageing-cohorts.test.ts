import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { AgeingMonth } from '@coldrounds/core';
import { normalDraws, seededRandom } from '@coldrounds/core/numerics';
import { AgeingCohorts } from '../../backend/server/src/assessment/module/ageing-cohorts.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { AgeingCohortRepository } from '../../backend/server/src/storage/repositories/results/ageing-cohort.repository.js';
import { assessorParts } from '../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';

/** Four years of a module that fades with the square root of age, to 1 - loss after one year. */
function monthsOf(loss: number, normal: () => number, count: number): AgeingMonth[] {
  return Array.from({ length: count }, (_, i) => {
    const years = (i + 0.5) / 12;
    const capacitance_F = (1 - loss * Math.sqrt(years)) * (1 + 0.003 * normal());
    return {
      month_s: i * 30.4 * 86_400,
      age_d: years * 365.25,
      weightedAge_d: years * 365.25,
      meanTemperature_K: 298.15 + 8 * Math.sin(2 * Math.PI * years),
      capacitance_F,
      capacitanceUncertainty_F: 0.003,
      esr_Ohm: null,
      esrUncertainty_Ohm: null,
      relativeCapacitance: capacitance_F,
      relativeEsr: null,
      tests: 30,
    };
  });
}

describe('how the modules of one rating age', () => {
  let server: DatabaseServer;
  let database: Database;
  const cohortsOf = () =>
    new AgeingCohorts({
      cohorts: new AgeingCohortRepository(database),
      fleet: assessorParts(database).fleet,
    });
  const modules = async () =>
    [...(await assessorParts(database).fleet.load()).modules.values()].map(({ module }) => module);
  const write = (id: number, months: AgeingMonth[]) =>
    database.query(
      `insert into module_result (module_id, detail) values ($1, $2)
       on conflict (module_id) do update set detail = excluded.detail`,
      [id, JSON.stringify({ ageing: months, suddenChange: null })],
    );

  beforeAll(async () => {
    server = await startDatabaseServer();
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 26, 1);
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  it('is not told before it is learned, nor from modules seen for less than 18 months', async () => {
    const normal = normalDraws(seededRandom(3));
    const all = await modules();
    expect(all.length).toBeGreaterThanOrEqual(26);
    for (const { id } of all) await write(id, monthsOf(0.2, normal, 17));
    const cohorts = cohortsOf();
    expect(await cohorts.like(all[0]!)).toBeNull();
    await cohorts.learn();
    expect(await cohorts.like(all[0]!)).toBeNull();
  });

  it('is learned from all that were seen for long enough, and told to each by another process, too', async () => {
    const random = seededRandom(4);
    const normal = normalDraws(random);
    const all = await modules();
    for (const { id } of all) await write(id, monthsOf(0.15 + 0.1 * random(), normal, 48));
    await cohortsOf().learn();
    const like = await cohortsOf().like(all[0]!);
    expect(like!.modules).toBe(all.length);
    expect(like!.belief['root-of-age']).toBeGreaterThan(0.8);
    const other = { ...all[0]!, entry: { ...all[0]!.entry, ratedCapacitance_F: 777 } };
    expect(await cohortsOf().like(other)).toBeNull();
  });

  it('is forgotten where there are no longer modules enough', async () => {
    const [first] = await modules();
    await database.query('delete from module_result where module_id > $1', [first!.id + 10]);
    const cohorts = cohortsOf();
    await cohorts.learn();
    expect(await cohorts.like(first!)).toBeNull();
    expect((await database.query('select from ageing_cohort')).rows).toHaveLength(0);
  });
});
