import { pino } from 'pino';
import { type RunningServer, startServer } from '../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { freePort } from './store/database.js';

/** A server of the role `api` alone, without a log, on a free port of this machine. */
export async function startApi(databaseUrl: string): Promise<{ running: RunningServer; base: string }> {
  const port = await freePort();
  const running = await startServer(
    readConfig({ DATABASE_URL: databaseUrl, PORT: String(port), ROLES: 'api', LOG_LEVEL: 'silent' }),
    pino({ level: 'silent' }),
  );
  return { running, base: `http://127.0.0.1:${port}` };
}
