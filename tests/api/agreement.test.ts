import { assessCircuit, type Finding, type WindowJudgement } from '@coldrounds/core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { components } from '../../frontend/src/api/schema.js';
import { start_s, window } from '../../backend/core/src/steadiness/sample-window.js';
import { pino } from 'pino';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import { FindingKeeper } from '../../backend/server/src/findings/finding-keeper.js';
import { PartitionKeeper, weeksOf, type Database } from '../../backend/server/src/storage/index.js';
import { FindingRepository } from '../../backend/server/src/storage/repositories/findings/finding.repository.js';
import { DailyFiguresRepository } from '../../backend/server/src/storage/repositories/results/daily-figures.repository.js';
import { WishRepository } from '../../backend/server/src/storage/notices/wish.repository.js';
import { WindowRepository } from '../../backend/server/src/storage/repositories/results/window.repository.js';
import { startApi } from '../support/api-server.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { circuitEntry, seedFleet } from '../support/store/fleet.js';
import { addPerson } from '../support/store/people.js';
import { until } from '../support/publish.js';

type Schemas = components['schemas'];
interface MailMessage {
  opening: string;
  parts: { heading: string; lines: { path?: string }[] }[];
}

/** A Friday, 09:40 UTC; the store's clock goes on by itself. */
const now_s = start_s + 12 * 86_400 + 34_800;

/** One window of two hours, by the number of the windows before it. */
function judged(k: number): WindowJudgement {
  const hunting = k % 3 === 0;
  const one = window(k, {
    superheat: { mean_K: 5 + (k % 5), spread_K: hunting ? 2.5 : 0.4, underLimitFraction: hunting ? 0.2 : 0 },
    valve: { travel_strokes: hunting ? 60 : 9, reversals: hunting ? 900 : 40 },
  });
  if (!hunting) return one;
  const swing = { oscillating: true, period_s: 90, amplitude: 3, huntingMinutes: 105 };
  return { ...one, oscillation: { ...one.oscillation, ...swing } };
}

describe('what all pages, the export and the findings say of one circuit', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;
  const json = async <Name extends keyof Schemas>(path: string) =>
    (await (await fetch(base + path)).json()) as Schemas[Name];

  /** Twelve days of windows with that of now as the last, judged, kept and assessed as an assessor does it. */
  async function judge(): Promise<void> {
    const windows = Array.from({ length: 12 * 12 + 5 }, (_, k) => judged(k));
    const partitions = new PartitionKeeper(database.pool);
    const weeks = weeksOf(windows.map(({ from_s }) => from_s * 1000));
    for (const table of ['circuit_day', 'daily_figures']) await partitions.ensure(table, weeks);
    const repository = new WindowRepository(database);
    await database.transaction(async (client) => {
      await repository.keep(
        client,
        new Map([
          [
            1,
            {
              windows: windows.map((judgement) => ({
                start_s: judgement.from_s,
                judgedAt_s: now_s,
                judgement,
              })),
              plateaus: [],
            },
          ],
        ]),
      );
    });
    const { findings, ...assessment } = assessCircuit({
      windows,
      refrigerant: 'R134a',
      circuit: circuitEntry(1),
      fleet: {
        travel_strokes_per_day: [10, 20, 30, 40, 1e6],
        reversals_per_day: Array<number>(5).fill(100),
      },
    });
    await repository.writeAssessments(database, [{ circuitId: 1, assessment, dataUntil_s: now_s }]);
    const keeper = new FindingKeeper(new FindingRepository(database), () => {});
    await keeper.keep(1, 'circuit/1', findings, { settled: true, dataUntil_s: now_s });
  }

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    // By the real clock, as the database's own is, which dates the changes of findings.
    database = await openMigrated(url);
    // The day of the test's own clock must not end between two readings.
    vi.useFakeTimers({ toFake: ['Date'], now: now_s * 1000 });
    await seedFleet(database, 1, 1);
    await judge();
    ({ running, base } = await startApi(url));
    await until('the round', async () => (await json<'Round'>('/api/rounds')).units.length === 1);
  }, 240_000);
  afterAll(async () => {
    vi.useRealTimers();
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  const unit = () => json<'UnitDetail'>('/api/units/harbour/chiller-1');
  const week = async () => (await unit()).circuits[0].summary.week!;
  const study = async (span = 7) =>
    (await json<'CircuitStudy'>(`/api/study/circuits?days=${span}`)).circuits[0];
  const finding = async (condition: string) =>
    (await unit()).findings.find((entry) => entry.condition === condition)!;
  /** A quantity of the finding, from whichever of its sentences has it. */
  const said = (
    { headline, reasons, waiting }: Pick<Finding, 'headline' | 'reasons' | 'waiting'>,
    name: string,
  ) => [headline, ...reasons, waiting.sentence].flatMap(({ quantities }) => quantities[name]?.value ?? [])[0];

  it('is of the same seven days', async () => {
    const { from_s, to_s, windows } = await week();
    // COMPUTED by hand: the thirteenth day has begun; with it, six whole days and five windows.
    expect({ from_s, to_s, windows }).toEqual({
      from_s: start_s + 6 * 86_400,
      to_s: start_s + 12 * 86_400 + 36_000,
      windows: 77,
    });
  });

  it('is one share of hunting', async () => {
    const { huntingFraction } = await week();
    expect(huntingFraction).toBeGreaterThan(0.2);
    expect((await study()).huntingFraction).toBeCloseTo(huntingFraction!, 5);
    expect(said(await finding('hunting'), 'share')).toBeCloseTo(huntingFraction!, 9);
    const round = await json<'Round'>('/api/rounds');
    const listed = round.units[0].findings.find(({ condition }) => condition === 'hunting')!;
    expect(said(listed, 'share')).toBeCloseTo(huntingFraction!, 9);
  });

  it('is one count of running days behind it', async () => {
    const own = await week();
    expect((await study()).steadyMinutes).toBeCloseTo(own.steadyMinutes, 3);
    expect(said(await finding('hunting'), 'steady')).toBeCloseTo(own.steadyMinutes * 60, 6);
  });

  it('is one superheat, one spread and one share under the floodback limit', async () => {
    const [own, row] = [await week(), await study()];
    expect(row.superheatMean_K).toBeCloseTo(own.mean_K!, 4);
    expect(row.superheatSpread_K).toBeCloseTo(own.spread_K!, 4);
    expect(row.floodbackFraction).toBeCloseTo(own.underLimitFraction!, 5);
    expect(said(await finding('floodback-risk'), 'share')).toBeCloseTo(own.underLimitFraction!, 9);
  });

  it('is one travel and one number of reversals, by the day and by the week', async () => {
    const [own, row, { circuits }] = [await week(), await study(), await unit()];
    const { wear } = circuits[0].assessment!;
    const perDay = 1440 / own.observedMinutes;
    expect(wear!.observedDays).toBeCloseTo(own.observedMinutes / 1440, 9);
    expect(wear!.travel_strokes_per_day).toBeCloseTo(own.travel_strokes * perDay, 6);
    expect(wear!.reversals_per_day).toBeCloseTo(own.reversals * perDay, 6);
    expect(row.valveTravel_strokes_day).toBeCloseTo(wear!.travel_strokes_per_day, 3);
    expect(row.valveReversals_day).toBeCloseTo(wear!.reversals_per_day, 3);
    // Said to three figures.
    const hunting = await finding('hunting');
    expect(said(hunting, 'reversals')! / wear!.reversals_per_day).toBeCloseTo(1, 2);
  });

  it('is one place in the fleet for each of travel and reversals', async () => {
    const { wear } = (await unit()).circuits[0].assessment!;
    const { reasons } = await finding('valve-wear');
    const { quantities } = reasons.find(({ text }) => text.includes('valves in the fleet'))!;
    expect(quantities.travel.value).toBe(wear!.fleetTravelPercentile);
    expect(quantities.reversals.value).toBe(wear!.fleetReversalPercentile);
    expect(wear!.fleetTravelPercentile).not.toBe(wear!.fleetReversalPercentile);
  });

  it('is the same in the export', async () => {
    const [head, line] = (await (await fetch(`${base}/api/study/circuits.csv?days=7`)).text())
      .trim()
      .split('\n');
    const row = Object.fromEntries(head.split(',').map((name, index) => [name, line.split(',')[index]]));
    const own = await study();
    expect(Number(row.hunting_share)).toBeCloseTo(own.huntingFraction!, 6);
    expect(Number(row.valve_travel_strokes_per_day)).toBeCloseTo(own.valveTravel_strokes_day!, 3);
    expect(Number(row.superheat_spread_K)).toBeCloseTo(own.superheatSpread_K!, 5);
  });

  it('is over four weeks what the assessment has over them', async () => {
    const { summary } = (await unit()).circuits[0].assessment!;
    const row = await study(28);
    expect(row.huntingFraction).toBeCloseTo(summary!.huntingFraction!, 5);
    expect(row.superheatSpread_K).toBeCloseTo(summary!.spread_K!, 4);
  });

  it('is counted and named by the digest as on the round', async () => {
    const { counts, units } = await json<'Round'>('/api/rounds');
    const person = await addPerson(database, 'manager');
    // Wished for an hour ago, due since half an hour, in UTC.
    const at = (ago_s: number) => new Date((now_s - ago_s) * 1000);
    const digestAt = at(1800).toISOString().slice(11, 16);
    await new WishRepository(database).keep(
      person.id,
      {
        ...{ digestAt, digestDays: [1, 2, 3, 4, 5, 6, 7], alerts: false, quietFrom: null, quietUntil: null },
        ...{ timeZone: 'UTC', measures: 'si' },
      },
      at(3600),
    );
    const services = createServices(
      readConfig({
        DATABASE_URL: 'postgres://unused',
        ROLES: 'api',
        SMTP_HOST: '127.0.0.1',
        SMTP_FROM: 'a@example.org',
      }),
      database,
      pino({ level: 'silent' }),
      { ready: true, engine: null },
    );
    await services.notices.clock.tick(at(0));
    const { rows } = await database.query<{ document: MailMessage }>(
      `select document from outbox where kind = 'digest'`,
    );
    await services.notices.stop();
    expect(rows).toHaveLength(1);
    const { opening, parts } = rows[0].document;
    expect(opening.match(/\d+/g)?.map(Number)).toEqual([counts.today, counts.thisWeek, counts.nextVisit]);
    // It names whom it counts today and this week.
    const named = parts.flatMap(({ heading, lines }) =>
      ['Today', 'This week'].includes(heading) ? lines.flatMap(({ path }) => path ?? []) : [],
    );
    const urgent = units.filter(({ urgency }) => urgency === 'today' || urgency === 'this-week');
    expect(named).toEqual(urgent.map(({ site, unit: { key } }) => `/units/${site.key}/${key}`));
  });

  it('is the same where a question is asked of the fleet', async () => {
    const own = await week();
    const asked = async (quantity: string, more = '') => {
      const { distribution, known } = await json<'StudyAnswer'>(
        `/api/study/answer?quantity=${quantity}&days=7${more}`,
      );
      expect(known).toBe(1);
      return distribution![0].p50!;
    };
    expect(await asked('superheatMean_K')).toBeCloseTo(own.mean_K!, 4);
    expect(await asked('superheatSpread_K')).toBeCloseTo(own.spread_K!, 4);
    expect(await asked('huntingFraction')).toBeCloseTo(own.huntingFraction!, 5);
    expect(await asked('floodbackFraction')).toBeCloseTo(own.underLimitFraction!, 5);
    const { wear } = (await unit()).circuits[0].assessment!;
    expect(await asked('valveTravel_strokes_day')).toBeCloseTo(wear!.travel_strokes_per_day, 3);
    expect(await asked('valveReversals_day')).toBeCloseTo(wear!.reversals_per_day, 3);
    // The part of its life that a year takes is one over the years that it lasts.
    expect(await asked('life_fraction_year')).toBeCloseTo(1 / wear!.life_years!, 4);
    // Worked out anew from the windows that are kept, as after an update, it stays the same.
    await database.query('delete from daily_figures');
    expect(await new DailyFiguresRepository(database).fill()).toBe(13);
    expect(await asked('superheatMean_K', '&to=2099-01-01')).toBeCloseTo(own.mean_K!, 4);
  });
});
