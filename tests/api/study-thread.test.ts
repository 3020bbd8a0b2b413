import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { startApi } from '../support/api-server.js';
import { startPart, type Part } from '../support/parts/process.js';
import { lastDays, seedChanges, seedDailyFigures } from '../support/store/daily-figures.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedLargeFleet } from '../support/store/large-fleet.js';

const span = 200;
const questions = [
  'study/questions',
  `study/answer?days=${span}&quantity=superheatMean_K&split=valve size`,
  `study/answer?days=${span}&picture=scatter&quantity=valveReversals_day&against=compressorLoad_pct&split=climate`,
  `study/answer?days=${span}&picture=share&over=0.2&period=week&quantity=huntingFraction&split=climate`,
  `study/answer?days=${span}&of=sensors&picture=share&over=0&quantity=wrong_fraction&split=sensor`,
  'study/answer?of=modules&picture=scatter&quantity=capacitance_fraction&against=moduleTemperature_K',
  `study/answer.csv?days=${span}&picture=trend&period=week&quantity=superheatMean_K`,
  `study/wear?days=${span}`,
  `study/wear.csv?days=${span}`,
  `study/comparison?days=${span}&quantity=superheatMean_K&split=climate&first=hot&second=mild`,
  `study/change-effect?days=${span}&quantity=huntingFraction&change=firmware`,
  `study/change-effect?days=${span}&quantity=huntingFraction&change=setpoint`,
  'study/survival?split=climate',
  'units/site-2/chiller-30/places',
  // Errors too.
  'units/site-2/nothing/places',
  'study/answer?quantity=nothing',
];

describe('questions of the fleet', () => {
  let server: DatabaseServer;
  let database: Database;
  let here: { running: RunningServer; base: string };
  let part: Part;
  let there: string;

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedLargeFleet(database, { units: 120 });
    const days = lastDays(span);
    await seedDailyFigures(database, days);
    await seedChanges(database, days[0]!);
    here = await startApi(url);
    const port = await freePort();
    part = await startPart('support/parts/server-part.ts', {
      ...{ DATABASE_URL: url, PORT: String(port), ROLES: 'api', LOG_LEVEL: 'silent' },
    });
    there = `http://127.0.0.1:${port}`;
  }, 240_000);
  afterAll(async () => {
    await part?.stop();
    await here?.running.stop();
    await database?.close();
    await server?.stop();
  });

  const ask = async (base: string, question: string) => {
    const answer = await fetch(`${base}/api/${question.replaceAll(' ', '%20')}`);
    return { status: answer.status, type: answer.headers.get('content-type'), body: await answer.text() };
  };

  it.each(questions)(
    'are answered to the byte by a thread as by the process itself: %s',
    async (question) => {
      const [one, other] = (await Promise.all([ask(here.base, question), ask(there, question)])).map(
        // Quarters to come begin at the moment of asking.
        ({ body, ...answer }) => ({ ...answer, body: body.replaceAll(/T\d\d:\d\d:\d\d\.\d{3}Z/g, '') }),
      );
      expect(other).toEqual(one);
      expect(one!.body.length).toBeGreaterThan(80);
    },
  );

  it('leave the thread free when who asked has left', async () => {
    const leaves = new AbortController();
    const asked = fetch(`${there}/api/study/wear?days=${span}`, { signal: leaves.signal });
    setTimeout(() => leaves.abort(), 5);
    await expect(asked).rejects.toThrow();
    expect((await ask(there, 'units/site-2/chiller-30/places')).status).toBe(200);
  });
});
