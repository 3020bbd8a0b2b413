import { request, type IncomingMessage } from 'node:http';
import { pino } from 'pino';
import type { components } from '../../frontend/src/api/schema.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningServer, startServer } from '../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { listenToEvents, type EventListener } from '../support/events.js';
import { seedFleet } from '../support/store/fleet.js';
import { until } from '../support/publish.js';
import { runningPack } from '../support/running-pack.js';
import { storeMessages } from '../support/store/stored.js';

type Schemas = components['schemas'];

const root = 'coldrounds/1/harbour/chiller-1';
const unit = '/api/units/harbour/chiller-1';

/**
 * PUBLISHED, measured: ASHRAE RP-1043 (Comstock & Braun 1999), normal run on R134a: evaporator at 37.2 psig and suction
 * gas at 46.8 F were logged with 4.8 F of superheat, each rounded to 0.1.
 */
const logged = { pressure_Pa: 37.2 * 6894.757, temperature_C: (46.8 - 32) / 1.8, superheat_K: 4.8 / 1.8 };

/** Start of a window of two hours that has ended. */
const first_s = Math.floor(Date.now() / 7_200_000) * 7200 - 2 * 7200;

describe('the interface over stored telemetry', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let events: EventListener;
  let base: string;

  const get = (path: string) => fetch(base + path);
  const json = async <Name extends keyof Schemas>(path: string) =>
    (await (await get(path)).json()) as Schemas[Name];

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database);
    const port = await freePort();
    base = `http://127.0.0.1:${port}`;
    running = await startServer(
      readConfig({ DATABASE_URL: url, PORT: String(port), ROLES: 'assess,api', LOG_LEVEL: 'silent' }),
      pino({ level: 'silent' }),
    );
    events = await listenToEvents(`${base}/api/events`);
    await storeMessages(database, [
      {
        topic: `${root}/circuits/1`,
        payload: runningPack(first_s, 1440, {
          suctionPressure_Pa: logged.pressure_Pa,
          suctionTemperature_C: logged.temperature_C,
        }),
      },
      {
        // R134a at 2.5 bar gauge at sea level boils at 5.1 C (COMPUTED, CoolProp 8.0.0): 0.9 K of superheat.
        topic: `${root}/circuits/2`,
        payload: runningPack(first_s, 1440, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      },
      { topic: `${root}/circuits/1`, payload: '[{"n":"suction-pressure","u":"Pa","v":3' },
    ]);
    await until('the judgement', async () => (await json<'Progress'>('/api/progress')).settled);
    await until('what follows from it', async () => (await json<'Progress'>('/api/progress')).upToDate);
    // It is on the round then, and not a moment later.
    expect((await json<'Round'>('/api/rounds')).units).toHaveLength(1);
  });
  afterAll(async () => {
    events?.close();
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('says that it is up and on what', async () => {
    expect(await json<'Health'>('/api/health')).toMatchObject({
      status: 'ok',
      database: 'ok',
      storage: 'postgresql',
      notJudged: { windows: 0, closings: 0, circuits: 0, modules: 0 },
      messagesLost: [],
      samplesMissing: { samples: 0, units: 0, sites: 0 },
      unreadMessages: [{ kept: 1, notKept: 0 }],
    });
  });

  it('counts what is stored', async () => {
    await until('the counts', async () => (await json<'Progress'>('/api/progress')).windowsJudged === 4);
    const progress = await json<'Progress'>('/api/progress');
    expect(progress).toMatchObject({ windowsJudged: 4, unread: 1, settled: true, upToDate: true });
    expect(progress.newestReading).toBe(new Date((first_s + 14_390) * 1000).toISOString());
    await until(
      'the running count',
      async () => (await json<'Progress'>('/api/progress')).readings === 2880,
      30_000,
    );
  });

  it('gives superheat as it was logged in the laboratory', async () => {
    const query = `from=${first_s}&to=${first_s + 600}&points=1500`;
    const series = await json<'CircuitSeriesResponse'>(`${unit}/circuits/1/series?${query}`);
    expect(series.source).toBe('readings');
    expect(series.time_s).toHaveLength(60);
    const mean = series.superheat_K.reduce<number>((sum, value) => sum + value!, 0) / 60;
    // Pressure, temperature and superheat were rounded to 0.1, and the rows' own saturation temperatures differ from
    // suction temperature less superheat by up to 0.2 F: 0.11 K and a rounding is what the row can tell.
    expect(Math.abs(mean - logged.superheat_K)).toBeLessThan(0.14);
  });

  it('ranks the unit with liquid near its compressor, with reasons', async () => {
    const round = await json<'Round'>('/api/rounds');
    expect(round.counts).toMatchObject({ units: 1, circuits: 2, modules: 1 });
    const [first] = round.units;
    expect(first).toMatchObject({ rank: 1, site: { key: 'harbour' }, unit: { key: 'chiller-1' } });
    const finding = first.findings.find(({ condition }) => condition === 'floodback-risk');
    expect(finding).toMatchObject({
      subject: { kind: 'circuit', circuit: 2 },
      certainty: expect.any(String),
    });
    expect(finding!.reasons.length).toBeGreaterThan(0);
  });

  it('answers 304 to a reader who has the round already', async () => {
    const first = await get('/api/rounds');
    await first.arrayBuffer();
    // Asked plainly: fetch itself would add that it wants no stored answer.
    const again = await new Promise<IncomingMessage>((resolve, reject) =>
      request(`${base}/api/rounds`, { headers: { 'if-none-match': first.headers.get('etag')! } }, resolve)
        .on('error', reject)
        .end(),
    );
    again.resume();
    // Where the round changed meanwhile, it is sent; an error it never is.
    if (again.headers.etag === first.headers.get('etag')) expect(again.statusCode).toBe(304);
    else expect(again.statusCode).toBe(200);
  });

  it('gives what the picture of a finding is drawn from, and says that an unknown finding is unknown', async () => {
    const page = await json<'UnitDetail'>(unit);
    const finding = page.findings.find(({ condition }) => condition === 'floodback-risk')!;
    const response = await get(`/api/findings/${finding.id}/evidence`);
    const text = await response.text();
    expect(text.length).toBeLessThan(20_000);
    const { data } = JSON.parse(text) as Schemas['FindingEvidence'];
    if (data.kind !== 'distribution') throw new Error(`it is drawn from ${data.kind}`);
    // The readings hold 0.9 K throughout: all of the steady running is under the limit of 2 K, in one or two bins.
    expect(data.limit_K).toBe(2);
    expect(data.beyondFraction).toBe(1);
    // Picture and finding count the same minutes.
    expect(data.beyondFraction).toBeCloseTo(finding.headline.quantities.share.value, 9);
    expect(data.steady_s / 60).toBeCloseTo(page.circuits[1].summary.week!.steadyMinutes, 1);
    expect(data.share.reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 4);
    const used = data.from_K.filter((_, bin) => data.share[bin] > 0);
    expect(used.every((from_K) => from_K >= 0 && from_K <= 1)).toBe(true);
    // In a list of several it is the same, and what is not there is left out.
    const { evidence } = await json<'EvidenceList'>(`/api/evidence?findings=${finding.id},999999999`);
    expect(evidence).toEqual([JSON.parse(text)]);
    // The picture has the very quantities of the headline to draw its limits and figures from.
    expect(evidence[0].claim).toMatchObject(finding.headline.quantities);
    expect((await get('/api/findings/999999999/evidence')).status).toBe(404);
    expect((await get('/api/findings/none/evidence')).status).toBe(404);
  });

  it('gives the unit page the same findings as the round', async () => {
    const [round, page] = await Promise.all([json<'Round'>('/api/rounds'), json<'UnitDetail'>(unit)]);
    const ids = (findings: { id: string }[]) => findings.map(({ id }) => id).sort();
    expect(ids(page.findings)).toEqual(ids(round.units[0].findings));
    expect(page.circuits.map(({ number }) => number)).toEqual([1, 2]);
    expect(page.cautions.length).toBeGreaterThan(0);
  });

  it('says how sure superheat and subcooling are, from the tolerances in the registry', async () => {
    const { circuits } = await json<'UnitDetail'>(unit);
    const latest = circuits[0].latest!;
    // COMPUTED, CoolProp 8.0.0, R134a: 6.6 K below the bubble point at 11.5 bar, whose temperature rises by 3.34 K per
    // bar there; 0.3 bar and 0.3 K of tolerance make sqrt((3.34 x 0.3)^2 + 0.3^2) / sqrt(3) = 0.605 K.
    expect(latest.subcooling_K).toBeCloseTo(6.6, 1);
    expect(latest.subcoolingUncertainty_K).toBeCloseTo(0.605, 2);
    // At 3.58 bar the dew point rises by 8.1 K per bar: sqrt((8.1 x 0.1)^2 + 0.3^2) / sqrt(3).
    expect(latest.superheatUncertainty_K).toBeCloseTo(0.5, 1);
  });

  it('tells of each window whether it hunts', async () => {
    const { windows } = await json<'WindowList'>(
      `${unit}/circuits/1/windows?from=${first_s}&to=${first_s + 14_400}`,
    );
    expect(windows).toHaveLength(2);
    for (const window of windows) expect(window.hunts).toBe(false);
  });

  it('exports the readings as CSV', async () => {
    const response = await get(`${unit}/circuits/1/series.csv?from=${first_s}&to=${first_s + 600}`);
    expect(response.headers.get('content-type')).toContain('text/csv');
    const lines = (await response.text()).trim().split('\n');
    expect(lines).toHaveLength(61);
    const column = lines[0].split(',').indexOf('superheat_K');
    expect(column).toBeGreaterThan(0);
    expect(Math.abs(Number(lines[1].split(',')[column]) - logged.superheat_K)).toBeLessThan(0.2);
  });

  it('answers bad input with problem details that name it', async () => {
    for (const [path, status] of [
      ['/api/rounds?at=yesterday', 400],
      ['/api/rounds?urgency=soon', 400],
      [`${unit}/circuits/1/series?from=20&to=10`, 400],
      [`${unit}/circuits/one/series`, 400],
      [`${unit}/circuits/9/series`, 404],
      ['/api/units/harbour/nowhere', 404],
      ['/api/nothing', 404],
    ] as const) {
      const response = await get(path);
      expect([path, response.status]).toEqual([path, status]);
      expect(response.headers.get('content-type')).toContain('application/problem+json');
      expect(await response.json()).toMatchObject({ status, title: expect.any(String) });
    }
    const problem = await json<'Problem'>('/api/rounds?urgency=soon');
    expect(problem.errors!.map(({ name }) => name)).toEqual(['urgency']);
  });

  it('keeps what could not be read, and gives it back to the byte', async () => {
    const page = await json<'UnreadList'>('/api/unread-messages');
    expect(page.total).toBe(1);
    expect(page.messages[0]).toMatchObject({ topic: `${root}/circuits/1`, reason: 'not-json' });
    const payload = await get(`/api/unread-messages/${page.messages[0].id}/payload`);
    expect(await payload.text()).toBe('[{"n":"suction-pressure","u":"Pa","v":3');
  });

  it('told those who listen that the round changed', async () => {
    await until('the event', async () => events.seen.some(({ type }) => type === 'round-changed'));
    const event = events.seen.find(({ type }) => type === 'round-changed');
    expect(JSON.parse(event!.data)).toMatchObject({ units: ['harbour/chiller-1'] });
  });
});
