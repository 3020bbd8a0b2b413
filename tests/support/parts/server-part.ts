/** A server as a process, set up by the variables of its environment. */
import { fileURLToPath } from 'node:url';
import { Worker } from 'node:worker_threads';
import { pino } from 'pino';
import { startServer } from '../../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../../backend/server/src/config/index.js';

const here = (path: string) => fileURLToPath(new URL(path, import.meta.url));
const running = await startServer(
  readConfig(process.env),
  pino({ level: 'silent' }),
  // From its source, as this part itself.
  (workerData) =>
    new Worker(here('../run-ts.mjs'), {
      argv: [here('../../../backend/server/src/bin/study-thread.ts')],
      workerData,
      execArgv: [],
    }),
);
process.on('SIGTERM', () => void running.stop().then(() => process.exit(0)));
process.send?.('ready');
