import type { Finding, Urgency } from '@coldrounds/core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { components } from '../../frontend/src/api/schema.js';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import { type Database, PartitionKeeper, weeksOf } from '../../backend/server/src/storage/index.js';
import { startApi } from '../support/api-server.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { until } from '../support/publish.js';

type Schemas = components['schemas'];

const day_s = 86_400;
const now_s = Math.floor(Date.now() / 1000);
const ago = (days: number) => new Date((now_s - days * day_s) * 1000).toISOString();
const said = (text: string) => ({ text, quantities: {} });

const document = (condition: string, urgency: Urgency, headline: string): Finding => ({
  condition,
  subject: { kind: 'circuit', circuit: 1 },
  headline: said(headline),
  reasons: [],
  explanations: [],
  separatingCheck: null,
  certainty: 'likely',
  urgency,
  waiting: { score: 10, sentence: said('Waiting costs.') },
  visit: [],
  hazards: [],
  firstSeen_s: 0,
  lastSeen_s: 0,
});

describe('the past', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;
  const get = (path: string) => fetch(base + path);
  const json = async <Name extends keyof Schemas>(path: string) =>
    (await (await get(path)).json()) as Schemas[Name];

  /** One finding with its life: `[days ago, urgency]` from when it opened, and when it ended. */
  async function tell(unit: number, condition: string, life: [number, Urgency][], endedAgo?: number) {
    const [[opened]] = life;
    const [, newest] = life.at(-1)!;
    const { rows } = await database.query<{ id: string }>(
      `insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, opened_at, updated_at, ended_at)
       values ($1, 'circuit/1', $2, $3, 'likely', 10, $4, $5, $5, $6) returning id`,
      [
        unit,
        condition,
        newest,
        document(condition, newest, `As ${newest}.`),
        ago(opened),
        endedAgo === undefined ? null : ago(endedAgo),
      ],
    );
    await new PartitionKeeper(database.pool).ensure(
      'finding_change',
      weeksOf(life.map(([days]) => Date.parse(ago(days)))),
    );
    for (const [days, urgency] of life)
      await database.query(
        `insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document)
         values ($1, $2, $3, 'likely', 10, $4)`,
        [rows[0].id, ago(days), urgency, document(condition, urgency, `As ${urgency}.`)],
      );
  }

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database, 7, 1);
    await database.query(`update unit set added_at = $1 where id < 7`, [ago(200)]);
    await database.query(`update unit set added_at = $1 where id = 7`, [ago(2)]);
    // Judging began 100 days ago. Ten days ago, chiller 1 was to be seen at the next visit, now today; and so on.
    await tell(1, 'hunting', [
      [50, 'next-visit'],
      [5, 'today'],
    ]);
    await tell(2, 'hunting', [
      [50, 'today'],
      [5, 'this-week'],
    ]);
    await tell(3, 'starved', [[5, 'this-week']]);
    await tell(4, 'starved', [[50, 'this-week']], 5);
    await tell(5, 'valve-wear', [[5, 'watch']]);
    await tell(6, 'hunting', [[50, 'today']]);
    await tell(7, 'hunting', [[1, 'today']]);
    await database.query(`update round_state set judging_since = $1`, [ago(100)]);
    ({ running, base } = await startApi(url));
    await until('the round', async () => (await json<'Round'>('/api/rounds')).units.length === 6);
  }, 240_000);
  afterAll(async () => {
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('is what was known then: findings, urgencies and units of that moment', async () => {
    const round = await json<'Round'>(`/api/rounds?at=${ago(10)}`);
    expect(round.known).toBe(true);
    expect(round.units.map(({ unit, urgency }) => [unit.key, urgency])).toEqual([
      ['chiller-2', 'today'],
      ['chiller-6', 'today'],
      ['chiller-4', 'this-week'],
      ['chiller-1', 'next-visit'],
    ]);
    // Chiller 7 came to the registry later; nobody knew of it, nor that the finding of chiller 4 would end.
    expect(round.counts).toMatchObject({ units: 6, today: 2, thisWeek: 1, nextVisit: 1, quiet: 2 });
    expect(round.quiet.map(({ unit }) => unit.key)).toEqual(['chiller-3', 'chiller-5']);
    expect(round.units[2].findings[0].endedAt).toBeNull();
    expect(round.units[0].findings[0].headline.text).toBe('As today.');
  });

  it('before judging began is not known, and says since when it is', async () => {
    const round = await json<'Round'>(`/api/rounds?at=${ago(101)}`);
    expect(round).toMatchObject({ known: false, judgingSince: ago(100), units: [], quiet: [] });
    expect(round.counts.units).toBe(0);
    expect(await json<'Round'>('/api/rounds')).toMatchObject({ known: true });
  });

  it('does not lie in the future', async () => {
    for (const path of ['/api/rounds?at=', '/api/changes?since=']) {
      const answer = await get(path + ago(-1));
      expect(answer.status).toBe(400);
      expect(((await answer.json()) as Schemas['Problem']).detail).toContain('future');
    }
  });

  it('tells what is new, worse, better and gone since', async () => {
    const changes = await json<'Changes'>(`/api/changes?since=${ago(10)}`);
    expect(changes.known).toBe(true);
    expect(changes.counts).toEqual({ new: 2, worse: 1, better: 1, gone: 1 });
    const told = changes.units.map(({ unit, change, before, now }) => [unit.key, change, before, now]);
    expect(told).toEqual([
      ['chiller-7', 'new', null, 'today'],
      ['chiller-3', 'new', null, 'this-week'],
      ['chiller-1', 'worse', 'next-visit', 'today'],
      ['chiller-2', 'better', 'today', 'this-week'],
      ['chiller-4', 'gone', 'this-week', null],
    ]);
    const [worse] = changes.units.find(({ change }) => change === 'worse')!.findings;
    expect(worse).toMatchObject({ headline: { text: 'As today.' }, before: 'next-visit', now: 'today' });
    const [gone] = changes.units.find(({ change }) => change === 'gone')!.findings;
    expect(gone).toMatchObject({ before: 'this-week', now: null });
  });

  it('says nothing changed where nothing did, and that nothing was known before judging began', async () => {
    const hour = await json<'Changes'>(`/api/changes?since=${ago(1 / 24)}`);
    expect(hour.counts).toEqual({ new: 0, worse: 0, better: 0, gone: 0 });
    expect((await json<'Changes'>(`/api/changes?since=${ago(101)}`)).known).toBe(false);
    const counts = await json<'Changes'>(`/api/changes?since=${ago(10)}&limit=0`);
    expect(counts.units).toEqual([]);
    expect(counts.counts.new).toBe(2);
  });

  it('is compared with in the portfolio, over a month and 90 days', async () => {
    const portfolio = await json<'Portfolio'>('/api/portfolio');
    // Of 90 days ago nothing was open: all that ask something now are more.
    expect(portfolio.rows).toHaveLength(1);
    expect(portfolio.rows[0]).toMatchObject({
      key: 'harbour',
      units: 7,
      byUrgency: { today: 3, thisWeek: 2, nextVisit: 0, watch: 1, quiet: 1 },
      change: 5,
      modules: 7,
      proven: 0,
    });
    expect(portfolio.month).toMatchObject({ known: true, counts: { new: 2, worse: 1, better: 1, gone: 1 } });
    await database.query(`update round_state set judging_since = $1`, [ago(20)]);
    // Kept figures are renewed within seconds.
    await until(
      'the change to be unknown',
      async () => (await json<'Portfolio'>('/api/portfolio?by=region')).rows[0].change === null,
      120_000,
    );
    const region = await json<'Portfolio'>('/api/portfolio?by=region');
    expect(region).toMatchObject({
      month: { known: false },
      rows: [{ name: 'no region', sites: 1, units: 7 }],
    });
    await database.query(`update round_state set judging_since = $1`, [ago(100)]);
  });
});
