/** An ingester as a process: DATABASE_URL, MQTT_URL, CLIENT_ID, and optionally SHARED_GROUP, MQTT_PROTOCOL and SPARKPLUG. */
import { IngestService } from '../../../backend/server/src/ingest/index.js';
import { createPool, Database } from '../../../backend/server/src/storage/index.js';

const environment = process.env as Record<string, string>;
const database = new Database(createPool(environment.DATABASE_URL));
const service = new IngestService(database, {
  mqtt: {
    url: environment.MQTT_URL,
    clientId: environment.CLIENT_ID,
    sharedGroup: environment.SHARED_GROUP || undefined,
    protocol: environment.MQTT_PROTOCOL ? (Number(environment.MQTT_PROTOCOL) as 4 | 5) : 'auto',
  },
  sparkplug: environment.SPARKPLUG ? {} : undefined,
  group: environment.DEAD_AFTER_S
    ? { heartbeat_s: Number(environment.DEAD_AFTER_S) / 4, deadAfter_s: Number(environment.DEAD_AFTER_S) }
    : undefined,
  log: (level, line) => {
    if (environment.VERBOSE) console.log(environment.CLIENT_ID, level, line);
    if (line.startsWith('Connected')) process.send?.('ready');
  },
});
service.start();
process.on('message', (message) => message === 'status' && process.send?.({ status: service.status() }));
process.on('SIGTERM', () => void service.stop().then(() => process.exit(0)));
