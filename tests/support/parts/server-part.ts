/** A server as a process, set up by the variables of its environment. */
import { pino } from 'pino';
import { startServer } from '../../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../../backend/server/src/config/index.js';

const running = await startServer(readConfig(process.env), pino({ level: 'silent' }));
process.on('SIGTERM', () => void running.stop().then(() => process.exit(0)));
process.send?.('ready');
