/**
 * Measures how long questions of the field study take over a large invented fleet with a year of daily figures. Prints one
 * line `scale: NAME VALUE UNIT` each, with the server's processor time, as on a busy machine questions wait for others, and how
 * long a page of others waits while one more is answered; ends with code 1 where a question takes longer than 2 s once the
 * figures of the year have been read ahead. The first question after the start is told apart.
 *
 *   node tests/support/run-ts.mjs tests/load/study-load.ts
 *
 * UNITS (10000), of two circuits and one module each, and DAYS (365) set the load; DATABASE_URL uses a server that is there.
 */
import { readFileSync } from 'node:fs';
import { request } from 'node:http';
import { lastDays, seedChanges, seedDailyFigures } from '../support/store/daily-figures.js';
import { freePort, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { seedLargeFleet } from '../support/store/large-fleet.js';
import { until } from '../support/publish.js';
import { startPart } from '../support/parts/process.js';

const units = Number(process.env.UNITS ?? 10_000);
const span = Number(process.env.DAYS ?? 365);
const limit_ms = 2000;

const server = await startDatabaseServer(process.env.DATABASE_URL);
const databaseUrl = await server.newDatabase();
const database = await openMigrated(databaseUrl);
await seedLargeFleet(database, { units });

const days = lastDays(span);
const seeding_ms = Date.now();
await seedDailyFigures(database, days);
await seedChanges(database, days[0]!);
console.log(`scale: seeding ${((Date.now() - seeding_ms) / 1000).toFixed(0)} s`);
const { rows: sizes } = await database.query<{ bytes: number; circuits: number }>(
  `select sum(pg_total_relation_size(inhrelid))::float8 as bytes, (select count(*) from circuit)::int as circuits
     from pg_inherits where inhparent = 'daily_figures'::regclass`,
);
console.log(`scale: daily-figures ${(sizes[0].bytes / 1e6).toFixed(0)} MB`);
console.log(`scale: a-circuit-day ${(sizes[0].bytes / sizes[0].circuits / span).toFixed(0)} bytes`);

const port = await freePort();
const api = await startPart('support/parts/server-part.ts', {
  DATABASE_URL: databaseUrl,
  ROLES: 'api',
  PORT: String(port),
  LOG_LEVEL: 'warn',
});
const ask = (path: string) =>
  new Promise<{ status: number; bytes: number; time_ms: number }>((resolve, reject) => {
    const from_ms = performance.now();
    request({ port, path, host: '127.0.0.1' }, (response) => {
      let bytes = 0;
      response.on('data', (chunk: Buffer) => (bytes += chunk.length));
      response.on('end', () =>
        resolve({ status: response.statusCode!, bytes, time_ms: performance.now() - from_ms }),
      );
    })
      .on('error', reject)
      .end();
  });

await until(
  'the order of the round',
  async () => {
    const { rows } = await database.query<{ due: number }>('select count(*)::int as due from attention_due');
    return rows[0].due === 0;
  },
  600_000,
);

const year = `days=${span}`;
const questions: [name: string, query: string][] = [
  ['distribution', `answer?${year}&quantity=superheatMean_K&split=valve size`],
  ['spread-by-refrigerant', `answer?${year}&quantity=superheatSpread_K&split=refrigerant`],
  ['hunting-by-firmware-each-month', `answer?${year}&picture=trend&quantity=huntingFraction&split=firmware`],
  [
    'share-hunting-each-week',
    `answer?${year}&picture=share&over=0.2&period=week&quantity=huntingFraction&split=climate`,
  ],
  [
    'scatter',
    `answer?${year}&picture=scatter&quantity=valveReversals_day&against=compressorLoad_pct&split=climate`,
  ],
  [
    'in-an-operating-range',
    `answer?${year}&quantity=huntingFraction&split=firmware&range=compressorLoad_pct:30..60&range=ambientTemperature_K:20..80`,
  ],
  ['life-of-valves', `answer?${year}&quantity=life_fraction_year&split=valve size`],
  ['headroom', `answer?${year}&quantity=headroom_K&split=refrigerant`],
  ['sensors', `answer?${year}&of=sensors&picture=share&over=0&quantity=wrong_fraction&split=sensor`],
  [
    'modules',
    `answer?of=modules&picture=scatter&quantity=capacitance_fraction&against=moduleTemperature_K&split=climate`,
  ],
  [
    'modules-each-month',
    `answer?${year}&of=modules&picture=trend&quantity=capacitance_fraction&split=climate`,
  ],
  [
    'modules-over-a-limit',
    `answer?${year}&of=modules&picture=share&over=1.1&quantity=esr_fraction&split=climate`,
  ],
  ['wear', `wear?${year}`],
  [
    'comparison-of-firmware',
    `comparison?${year}&quantity=superheatMean_K&split=firmware&first=3.0&second=3.1`,
  ],
  [
    'comparison-of-climates',
    `comparison?${year}&quantity=huntingFraction&split=climate&first=hot&second=mild`,
  ],
  [
    'comparison-of-modules',
    `comparison?of=modules&quantity=capacitance_fraction&split=climate&first=hot&second=mild`,
  ],
  ...['firmware', 'setpoint', 'valve', 'registry', 'part', 'visit'].map((change): [string, string] => [
    `before-and-after-${change}`,
    `change-effect?${year}&quantity=huntingFraction&change=${change}`,
  ]),
  [
    'before-and-after-charging',
    `change-effect?${year}&of=modules&quantity=capacitance_fraction&change=charging&span=91`,
  ],
  ['survival', 'survival?split=climate'],
  ['places', '../units/site-7/chiller-130/places'],
  ['of-one-site', `answer?${year}&quantity=superheatMean_K&where=site:site-7`],
  ['what-can-be-asked', 'questions'],
];
/**
 * Processor time so far of the server, or of its thread that answers pages alone, by Linux's account of processes (proc(5)); NaN
 * elsewhere.
 */
function processor_ms(of: 'server' | 'pages' = 'server'): number {
  const { pid } = api.process;
  const account = of === 'server' ? `/proc/${pid}/stat` : `/proc/${pid}/task/${pid}/stat`;
  try {
    const fields = readFileSync(account, 'utf8').split(') ')[1]!.split(' ');
    return 10 * (Number(fields[11]) + Number(fields[12]));
  } catch {
    return NaN;
  }
}

const pathOf = (query: string) =>
  new URL(query.replaceAll(' ', '%20'), 'http://localhost/api/study/').href.slice(16);

/** The longest that the round's page is waited for while something else is answered. */
async function besides(answered: Promise<unknown>): Promise<number> {
  let over = false;
  let longest_ms = 0;
  void answered.finally(() => (over = true)).catch(() => {});
  while (!over) longest_ms = Math.max(longest_ms, (await ask('/api/rounds?limit=12')).time_ms);
  return longest_ms;
}

/** Until the thread of the questions has asked the database nothing for half a minute, as it reads ahead after its start. */
async function readAhead(): Promise<void> {
  for (let quiet_s = 0; quiet_s < 30; quiet_s++) {
    await new Promise((resolve) => setTimeout(resolve, 1000));
    const { rows } = await database.query<{ busy: boolean }>(
      `select exists (select from pg_stat_activity where application_name = 'coldrounds study'
          and (state <> 'idle' or state_change > now() - interval '2 seconds')) as busy`,
    );
    if (rows[0]!.busy) quiet_s = 0;
  }
}

let missed = false;
try {
  const first = await ask(pathOf(questions[0]![1]));
  console.log(`scale: study-first-after-start ${first.time_ms.toFixed(0)} ms, while figures are read ahead`);
  await readAhead();
  for (const [name, query] of questions) {
    const times: number[] = [];
    const [before_ms, pagesBefore_ms] = [processor_ms(), processor_ms('pages')];
    for (let n = 0; n < 3; n++) {
      const { status, time_ms } = await ask(pathOf(query));
      if (status !== 200) throw new Error(`${query} answered ${status}`);
      times.push(time_ms);
    }
    const each_ms = (processor_ms() - before_ms) / times.length;
    const pages_ms = (processor_ms('pages') - pagesBefore_ms) / times.length;
    const beside_ms = await besides(ask(pathOf(query)));
    console.log(
      `scale: study-${name} ${times.map((time) => time.toFixed(0)).join(' ')} ms` +
        (Number.isNaN(each_ms)
          ? ''
          : `, ${each_ms.toFixed(0)} ms of processor in the server each, ${pages_ms.toFixed(0)} of them in the thread of the pages`) +
        `; the round's page meanwhile ${beside_ms.toFixed(0)} ms at most`,
    );
    if (Math.max(...times) > limit_ms) {
      missed = true;
      console.log(`missed: ${name} must stay within ${limit_ms} ms`);
    }
  }
} catch (error) {
  missed = true;
  console.log(`missed: ${String(error)}`);
}
await api.stop();
await database.close();
await server.stop();
process.exit(missed ? 1 : 0);
