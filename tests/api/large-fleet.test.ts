import { pino } from 'pino';
import { brotliDecompressSync } from 'node:zlib';
import { get } from 'node:http';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { components } from '../../frontend/src/api/schema.js';
import { type RunningServer, startServer } from '../../backend/server/src/bin/server-process.js';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { DataHealthKeeper } from '../../backend/server/src/assessment/data-health/data-health-keeper.js';
import { DataHealthService } from '../../backend/server/src/pages/data-health/data-health.service.js';
import { DataHealthRepository } from '../../backend/server/src/storage/delivery/data-health.repository.js';
import { SilenceRepository } from '../../backend/server/src/storage/assessment/silence.repository.js';
import { RoundService } from '../../backend/server/src/pages/round/round.service.js';
import { UnitListService } from '../../backend/server/src/pages/round/unit-list.service.js';
import { UnitService } from '../../backend/server/src/pages/unit/unit.service.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { CountingDatabase } from '../support/store/counting-database.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { listenToEvents } from '../support/events.js';
import { seedLargeFleet } from '../support/store/large-fleet.js';
import { until } from '../support/publish.js';

type Schemas = components['schemas'];
const silent = pino({ level: 'silent' });
const many = 2_000;
const few = 200;

describe('pages over a large fleet', () => {
  let server: DatabaseServer;
  const databases = new Map<number, Database>();
  let running: RunningServer;
  let port: number;
  let base: string;

  const json = async <Name extends keyof Schemas>(path: string) => {
    const answer = await fetch(base + path);
    expect(answer.status, path).toBe(200);
    return (await answer.json()) as Schemas[Name];
  };
  /** Length on the wire, and the answer. */
  const wire = (path: string) =>
    new Promise<{ bytes: number; body: Schemas['Round'] }>((resolve, reject) => {
      get({ port, path, host: '127.0.0.1', headers: { 'accept-encoding': 'br' } }, (response) => {
        const chunks: Buffer[] = [];
        response.on('data', (chunk: Buffer) => chunks.push(chunk));
        response.on('end', () => {
          const packed = Buffer.concat(chunks);
          resolve({ bytes: packed.length, body: JSON.parse(brotliDecompressSync(packed).toString()) });
        });
      }).on('error', reject);
    });

  beforeAll(async () => {
    server = await startDatabaseServer();
    let url = '';
    for (const units of [few, many]) {
      url = await server.newDatabase();
      const database = await openMigrated(url);
      databases.set(units, database);
      await seedLargeFleet(database, { units });
      await createServices(readConfig({ DATABASE_URL: url, ROLES: 'api' }), database, silent, {
        ready: true,
        engine: null,
      }).attention.catchUp();
      await new DataHealthKeeper({
        silence: new SilenceRepository(database),
        dataHealth: new DataHealthRepository(database),
      }).look();
      await database.query('analyze');
    }
    port = await freePort();
    base = `http://127.0.0.1:${port}`;
    running = await startServer(
      readConfig({ DATABASE_URL: url, PORT: String(port), ROLES: 'api', LOG_LEVEL: 'silent' }),
      silent,
    );
  }, 240_000);
  afterAll(async () => {
    await running?.stop();
    for (const database of databases.values()) await database.close();
    await server?.stop();
  });

  it('sends the first page of the round in 60 kB, with the counts of the whole', async () => {
    const { bytes, body } = await wire('/api/rounds');
    expect(bytes).toBeLessThan(60_000);
    expect(body.units).toHaveLength(20);
    const { today, thisWeek, nextVisit, watch, quiet, units } = body.counts;
    expect(units).toBe(many);
    expect(today + thisWeek + nextVisit + watch + quiet).toBe(many);
  });

  it('needs no more statements and rows for a page of ten times the fleet', async () => {
    const need = async (units: number) => {
      const counting = new CountingDatabase(databases.get(units)!.pool);
      const { providers } = createServices(
        readConfig({ DATABASE_URL: 'postgres://unused', ROLES: 'api' }),
        counting,
        silent,
        { ready: true, engine: null },
      );
      const of = <Service>(service: new (...parameters: never[]) => Service) =>
        (providers as { provide: unknown; useValue: unknown }[]).find(({ provide }) => provide === service)!
          .useValue as Service;
      const [rounds, lists, unit] = [of(RoundService), of(UnitListService), of(UnitService)];
      const health = of(DataHealthService);
      const worst = { sort: 'worst' as const, descending: false, page: 1, limit: 50 };
      // The counting of progress goes on beside the pages, every few seconds at most, whoever asks.
      await rounds.version();
      const first = await rounds.round({ at_s: null, limit: 20 });
      // The totals of the whole fleet are worked out once in a while, whoever asks.
      await health.fleet({ ...worst, sites: null });
      return {
        firstPage: await counting.during(() => rounds.round({ at_s: null, limit: 20 })),
        secondPage: await counting.during(() => rounds.round({ at_s: null, limit: 20, cursor: first.next! })),
        ofASite: await counting.during(() => rounds.round({ at_s: null, limit: 20, site: 'site-2' })),
        units: await counting.during(() =>
          lists.list({ sort: 'round', descending: false, page: 1, limit: 100 }),
        ),
        unit: await counting.during(() => unit.detail({ site: 'site-2', unit: 'chiller-25' })),
        dataHealth: await counting.during(() => health.fleet({ ...worst, sites: null })),
        siteHealth: await counting.during(() => health.site('site-2', worst)),
        version: await counting.during(() => rounds.version()),
      };
    };
    const [small, large] = [await need(few), await need(many)];
    for (const page of Object.keys(small) as (keyof typeof small)[]) {
      expect(large[page].statements, page).toBe(small[page].statements);
      expect(large[page].statements, page).toBeLessThan(15);
      // Sites (one for 20 units) are all listed on a first page; otherwise only how many findings units have differs.
      const sites = many / 20;
      expect(large[page].rowsRead, page).toBeLessThan(1.5 * small[page].rowsRead + sites);
    }
  });

  it('lists every unit by the state of its data, the worst first, and finds them by words', async () => {
    const seen: string[] = [];
    let last = 1;
    for (let page = 1, pages = 1; page <= pages; page++) {
      const answer = await json<'FleetDataHealth'>(`/api/data-health?limit=200&page=${page}`);
      pages = answer.pages;
      expect(answer.totals.units).toBe(many);
      for (const { site, unit, lost } of answer.units) {
        expect(lost).toBeLessThanOrEqual(last);
        last = lost;
        seen.push(`${site}/${unit}`);
      }
    }
    expect(new Set(seen).size).toBe(many);
    expect(seen).toHaveLength(many);
    const found = await json<'FleetDataHealth'>('/api/data-health?q=site-3%2Fchiller-41');
    expect(found.units.map(({ unit }) => unit)).toEqual(['chiller-41']);
    const site = await json<'SiteDataHealth'>('/api/sites/site-2/data-health');
    expect(site.units).toHaveLength(20);
    expect(site.units[0].calendar.samples).toHaveLength(28 * 24);
    const unit = await json<'UnitDataHealthDetail'>('/api/units/site-2/chiller-25/data-health');
    expect(unit.health?.expected).toBeNull();
    expect((await fetch(`${base}/api/sites/nowhere/data-health`)).status).toBe(404);
  });

  it('goes through the whole round page by page, each unit once and in order', async () => {
    const seen: string[] = [];
    const ranks: number[] = [];
    let quiet = 0;
    let last = -1;
    let cursor: string | null = null;
    do {
      const page: Schemas['Round'] = await json<'Round'>(
        `/api/rounds?limit=100${cursor === null ? '' : `&cursor=${cursor}`}`,
      );
      for (const row of page.units) {
        const place = ['today', 'this-week', 'next-visit', 'watch'].indexOf(row.urgency);
        expect(place).toBeGreaterThanOrEqual(last);
        last = place;
        ranks.push(row.rank);
      }
      quiet += page.quiet.length;
      seen.push(...[...page.units, ...page.quiet].map(({ site, unit }) => `${site.key}/${unit.key}`));
      cursor = page.next;
    } while (cursor !== null);
    expect(new Set(seen).size).toBe(many);
    expect(seen).toHaveLength(many);
    expect(ranks).toEqual(ranks.map((_, index) => index + 1));
    expect(quiet).toBe((await json<'Round'>('/api/rounds')).counts.quiet);
  });

  const urgencyPlaces = ['today', 'this-week', 'next-visit', 'watch'];
  /** What the round takes of a unit, worked out from what it answers: each problem, the most urgent and dearest first. */
  const problemsOf = ({ diagnoses, findings }: Schemas['RoundUnit']) => {
    const explained = new Set(diagnoses.flatMap(({ symptoms }) => symptoms));
    return [...diagnoses, ...findings.filter(({ id }) => !explained.has(id))].sort(
      (a, b) =>
        urgencyPlaces.indexOf(a.urgency) - urgencyPlaces.indexOf(b.urgency) ||
        b.waiting.score - a.waiting.score,
    );
  };
  /** The dearest problem of each circuit or module, added: one visit serves all. */
  const waitingOf = (row: Schemas['RoundUnit']) => {
    const problems = problemsOf(row);
    const calls = problems.filter(({ urgency }) => urgency !== 'watch');
    const dearest = new Map<string, number>();
    for (const { subject, waiting } of calls.length > 0 ? calls : problems) {
      const key = JSON.stringify(subject);
      dearest.set(key, Math.max(dearest.get(key) ?? 0, waiting.score));
    }
    return [...dearest.values()].reduce((sum, score) => sum + score, 0);
  };
  it.each([
    [
      'certainty',
      (row: Schemas['RoundUnit']) => ['certain', 'likely', 'possible'].indexOf(problemsOf(row)[0].certainty),
    ],
    ['age', (row: Schemas['RoundUnit']) => Date.parse(row.since!)],
    // To the millionth: the store adds in another order.
    ['waiting', (row: Schemas['RoundUnit']) => -Number(waitingOf(row).toFixed(6))],
    ['site', null],
  ] as const)('goes through the round in the order of %s, each unit once, now and then', async (sort, of) => {
    const path = `/api/rounds?q=r513a&limit=100&sort=${sort}`;
    const seen: string[] = [];
    const rows: Schemas['RoundUnit'][] = [];
    let cursor: string | null = null;
    do {
      const page: Schemas['Round'] = await json<'Round'>(
        `${path}${cursor === null ? '' : `&cursor=${cursor}`}`,
      );
      rows.push(...page.units);
      seen.push(...[...page.units, ...page.quiet].map(({ site, unit }) => `${site.key}/${unit.key}`));
      // What has nothing to tell comes after all that has.
      if (page.quiet.length > 0 && page.next !== null) {
        const next = await json<'Round'>(`${path}&cursor=${page.next}`);
        expect(next.units).toEqual([]);
      }
      cursor = page.next;
    } while (cursor !== null);
    expect(new Set(seen).size).toBe(many / 5);
    expect(seen).toHaveLength(many / 5);
    expect(rows.map(({ rank }) => rank)).toEqual(rows.map((_, index) => index + 1));
    if (of === null) {
      // By name: all of a site together.
      const names = rows.map(({ site }) => site.name);
      expect(names.filter((name, index) => name !== names[index - 1])).toHaveLength(new Set(names).size);
    } else {
      const places = rows.map(of);
      expect(places).toEqual([...places].sort((a, b) => a - b));
    }
    expect(rows.length).toBeGreaterThan(100);
    const then = await json<'Round'>(`${path}&at=${new Date().toISOString()}`);
    // Names of sites are ordered by the database now and by the program then; both are right.
    if (of !== null)
      expect(then.units.map(({ unit }) => unit.key)).toEqual(rows.slice(0, 100).map(({ unit }) => unit.key));
    const first = await json<'Round'>(`/api/rounds?limit=10&sort=${sort}`);
    expect((await fetch(`${base}/api/rounds?limit=10&cursor=${first.next}`)).status).toBe(400);
  });

  it('filters by site, urgency and words, and counts what it found', async () => {
    const site = await json<'Round'>('/api/rounds?site=site-7&limit=100');
    expect(site.found.units).toBe(20);
    expect([...site.units, ...site.quiet].every((row) => row.site.key === 'site-7')).toBe(true);
    const watch = await json<'Round'>('/api/rounds?site=site-7&urgency=watch');
    expect(watch.units).toHaveLength(site.found.watch);
    expect(watch.units.every(({ urgency }) => urgency === 'watch')).toBe(true);
    const words = await json<'Round'>('/api/rounds?q=Chiller%20SITE%20reverses&limit=100');
    expect(words.units.length).toBeGreaterThan(0);
    expect(
      words.units.every(({ findings }) =>
        findings.some(({ headline }) => headline.text.includes('reverses')),
      ),
    ).toBe(true);
    expect((await json<'Round'>('/api/rounds?q=no-such-word')).found.units).toBe(0);
    const list = await json<'UnitList'>('/api/units?q=r513a&sort=unit&descending=true&limit=50');
    expect(list).toMatchObject({ total: many / 5, pages: 8, fleet: many });
    const names = list.units.map(({ unit }) => unit.name);
    expect(names).toEqual([...names].sort().reverse());
  });

  it('goes through findings page by page, newest first, filtered by urgency, site and words', async () => {
    const path = '/api/findings?open=true&urgency=today&q=swings';
    const all = await json<'FindingHistory'>(`${path}&limit=1000`);
    const seen: string[] = [];
    let after: string | null = null;
    do {
      const page: Schemas['FindingHistory'] = await json<'FindingHistory'>(
        `${path}&limit=37${after === null ? '' : `&after=${after}`}`,
      );
      seen.push(...page.findings.map(({ finding }) => finding.id));
      after = page.next;
    } while (after !== null);
    expect(all.findings.length).toBeGreaterThan(37);
    expect(seen).toEqual(all.findings.map(({ finding }) => finding.id));
    for (const { finding } of all.findings)
      expect([finding.urgency, finding.headline.text]).toEqual(['today', expect.stringContaining('swings')]);
    const { findings } = await json<'FindingHistory'>('/api/findings?site=site-5');
    expect(findings.length).toBeGreaterThan(5);
    expect(findings.every(({ site }) => site === 'site-5')).toBe(true);
  });

  it('ranks the past as it ranks the present', async () => {
    const [now, then] = [
      await json<'Round'>('/api/rounds?limit=50'),
      await json<'Round'>(`/api/rounds?limit=50&at=${new Date().toISOString()}`),
    ];
    expect(then.counts).toEqual(now.counts);
    expect(then.units.map(({ unit }) => unit.key)).toEqual(now.units.map(({ unit }) => unit.key));
  });

  it('tells open pages what changed by number, and those that were away what they missed', async () => {
    const database = databases.get(many)!;
    const here = await listenToEvents(`${base}/api/events?unit=site-3/chiller-41`);
    await until('the greeting', async () => here.seen.some(({ type }) => type === 'connected'));
    const { version } = JSON.parse(here.seen[0].data) as { version: number };
    const before = await fetch(`${base}/api/rounds`);
    await before.text();
    await database.query(
      `update finding set ended_at = now() where unit_id in (41, 42) and ended_at is null`,
    );
    await database.query(
      `insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document)
       select 41, subject_key, condition, 'today', certainty, 100, jsonb_set(document, '{urgency}', '"today"')
         from finding where ended_at is null limit 1`,
    );
    await until('the change', async () =>
      here.seen.some(({ type, data }) => type === 'round-changed' && data.includes('site-3/chiller-41')),
    );
    const after = await fetch(`${base}/api/rounds`);
    await after.text();
    expect(after.headers.get('etag')).not.toBe(before.headers.get('etag'));
    const away = await listenToEvents(`${base}/api/events?since=${version}`);
    await until('what was missed', async () => away.seen.length > 0);
    expect(away.seen[0].type).toBe('round-changed');
    expect(JSON.parse(away.seen[0].data)).toMatchObject({
      units: expect.arrayContaining(['site-3/chiller-41', 'site-3/chiller-42']),
    });
    const longAway = await listenToEvents(`${base}/api/events?since=1`);
    await until('the answer', async () => longAway.seen.length > 0);
    expect(longAway.seen[0].type).toBe('read-again');
    for (const { close } of [here, away, longAway]) close();
    // The same for a program that asks from time to time.
    const asked = await json<'RoundChangeList'>(`/api/round-changes?since=${version}&limit=1000`);
    expect(asked.readAgain).toBe(false);
    expect(asked.changes[0].number).toBe(version + 1);
    expect(asked.changes.filter(({ unit }) => unit === 'site-3/chiller-41').at(-1)).toMatchObject({
      urgency: 'today',
      findings: 1,
    });
    expect(await json<'RoundChangeList'>(`/api/round-changes?since=${asked.next}`)).toMatchObject({
      readAgain: false,
      changes: [],
    });
    expect(await json<'RoundChangeList'>('/api/round-changes?since=999999999')).toMatchObject({
      readAgain: true,
      changes: [],
    });
  });
});
