/** A broker as a process: MQTT_PORT. */
import { startBroker } from '../../../backend/server/src/embedded/broker.js';

const broker = await startBroker({
  port: Number(process.env.MQTT_PORT),
});
process.on('SIGTERM', () => void broker.stop().then(() => process.exit(0)));
process.send?.('ready');
