/** The embedded broker as a process of its own, so that it outlives a crash of the ingester. */
import { startBroker } from './broker.js';
import { StartError } from './start-error.js';

const port = Number(process.env.MQTT_PORT);
const host = process.env.MQTT_HOST ?? '127.0.0.1';
try {
  const broker = await startBroker({ port, host, holdUntilSubscribed: 'coldrounds/#' });
  process.on('SIGTERM', () => void broker.stop().then(() => process.exit(0)));
  process.send?.('ready');
} catch (error) {
  process.send?.({ startError: error instanceof StartError ? error.message : String(error) }, () =>
    process.exit(1),
  );
}
