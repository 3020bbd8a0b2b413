/** The embedded broker as a process of its own, so that it outlives a crash of the ingester. */
import { startBroker } from './broker.js';
import { StartError } from './start-error.js';

const {
  MQTT_PORT,
  MQTT_HOST = '127.0.0.1',
  MQTT_TLS_CERT: certFile,
  MQTT_TLS_KEY: keyFile,
  MQTT_TLS_PORT,
  MQTT_TLS_HOST = '127.0.0.1',
  GATEWAYS_DIR: gateways,
  MQTT_USERNAME: user,
  MQTT_PASSWORD: password,
} = process.env;
try {
  const broker = await startBroker({
    ...{ port: Number(MQTT_PORT), host: MQTT_HOST, gateways, holdUntilSubscribed: 'coldrounds/#' },
    tls:
      certFile && keyFile
        ? { certFile, keyFile, port: Number(MQTT_TLS_PORT), host: MQTT_TLS_HOST }
        : undefined,
    own: user && password ? { user, password } : undefined,
    say: (line) => console.log(line),
  });
  process.on('SIGTERM', () => void broker.stop().then(() => process.exit(0)));
  process.send?.('ready');
} catch (error) {
  process.send?.({ startError: error instanceof StartError ? error.message : String(error) }, () =>
    process.exit(1),
  );
}
