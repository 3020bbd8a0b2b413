/**
 * Measures how long the digests of many people over a large invented fleet take: to write, and to send to a mail server on this
 * machine. Prints `scale: NAME VALUE UNIT` and ends with code 1 where 60 s are not enough.
 *
 *   node tests/support/run-ts.mjs tests/load/digest-load.ts
 *
 * UNITS (10000) and PEOPLE (200) set the load; half of the people are limited to some sites. DATABASE_URL uses a server that is there.
 */
import { pino } from 'pino';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { WishRepository } from '../../backend/server/src/storage/notices/wish.repository.js';
import { startMailServer } from '../support/mail-server.js';
import { openMigrated, startDatabaseServer } from '../support/store/database.js';
import { seedLargeFleet } from '../support/store/large-fleet.js';
import { addPerson } from '../support/store/people.js';

const units = Number(process.env.UNITS ?? 10_000);
const people = Number(process.env.PEOPLE ?? 200);
const limit_s = 60;

const server = await startDatabaseServer(process.env.DATABASE_URL);
const url = await server.newDatabase();
const database = await openMigrated(url);
await seedLargeFleet(database, { units });
const mail = await startMailServer();
const services = createServices(
  readConfig({
    ...{ DATABASE_URL: url, ROLES: 'api', LOG_LEVEL: 'silent' },
    ...{
      SMTP_HOST: '127.0.0.1',
      SMTP_PORT: String(mail.port),
      SMTP_TLS: 'off',
      SMTP_FROM: 'rounds@example.org',
    },
  }),
  database,
  pino({ level: 'silent' }),
  { ready: true, engine: null },
);
await services.attention.catchUp();
// Judging began a week ago, so that a digest tells what has changed since the one before.
await database.query(`update round_state set judging_since = now() - interval '30 days'`);

const now = new Date();
const wish = {
  ...{
    digestAt: '00:00',
    digestDays: [1, 2, 3, 4, 5, 6, 7],
    alerts: true,
    quietFrom: null,
    quietUntil: null,
  },
  ...{ timeZone: 'UTC', measures: 'si' },
};
const sites = Math.ceil(units / 20);
for (let n = 0; n < people; n++) {
  const own = n % 2 === 0 ? null : [0, 1, 2, 3, 4].map((k) => `site-${1 + ((n * 7 + k) % sites)}`);
  const { id } = await addPerson(database, 'manager', own);
  await new WishRepository(database).keep(id, wish, new Date(now.getTime() - 2 * 86_400_000));
}

let missed = false;
const measure = async (name: string, work: () => Promise<void>): Promise<number> => {
  const from_ms = performance.now();
  await work();
  const took_s = (performance.now() - from_ms) / 1000;
  console.log(`scale: ${name} ${took_s.toFixed(1)} s`);
  return took_s;
};
const written_s = await measure('digests-written', () => services.notices.clock.tick(now));
const sent_s = await measure('digests-sent', () => services.notices.sender.sendDue());
console.log(`scale: digests ${mail.received.length} messages`);
const idle_s = await measure('looking-again', () =>
  services.notices.clock.tick(new Date(now.getTime() + 61_000)),
);
if (mail.received.length !== people || written_s + sent_s > limit_s || idle_s > 5) missed = true;
const sizes = mail.received.map(({ source }) => source.length).sort((a, b) => a - b);
console.log(`scale: digest-size ${(sizes[Math.floor(sizes.length / 2)] / 1000).toFixed(1)} kB`);

await services.notices.stop();
await mail.stop();
await database.close();
await server.stop();
if (missed) {
  console.log(`missed: ${people} digests over ${units} units within ${limit_s} s`);
  process.exitCode = 1;
}
