import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { isLoopback } from '../config/index.js';
import { readKeys } from '../gateways/handing-over/embedded-files.js';
import { startPart, waitForReady, type Part } from './part.js';
import { requireFreePort, type EmbeddedSettings } from './settings.js';
import { StartError } from './start-error.js';

type Settings = Pick<EmbeddedSettings, 'dataDir' | 'mqttHost' | 'mqttPort' | 'mqttTls'>;

/** Starts the embedded broker; `env` is what the run's other parts need to reach it and to hand it keys. */
export async function startBrokerPart(
  settings: Settings,
  logDir: string,
  say: (line: string) => void,
): Promise<{ part: Part; env: NodeJS.ProcessEnv }> {
  const { mqttHost, mqttPort, mqttTls, dataDir } = settings;
  const gateways = gatewaysIn(dataDir);
  if (mqttTls !== null) await requireFreePort(mqttTls.port, mqttTls.host, 'MQTT_TLS_PORT');
  const own = { MQTT_USERNAME: 'coldrounds', MQTT_PASSWORD: randomBytes(32).toString('base64url') };
  const part = startPart({
    name: 'broker',
    script: fileURLToPath(new URL('./broker-process.js', import.meta.url)),
    env: {
      ...process.env,
      ...own,
      MQTT_PASSWORD_FILE: '',
      ...{ MQTT_PORT: String(mqttPort), MQTT_HOST: mqttHost, GATEWAYS_DIR: gateways },
      ...(mqttTls === null
        ? {}
        : {
            ...{ MQTT_TLS_CERT: mqttTls.certFile, MQTT_TLS_KEY: mqttTls.keyFile },
            ...{ MQTT_TLS_PORT: String(mqttTls.port), MQTT_TLS_HOST: mqttTls.host },
          }),
    },
    logDir,
    // It writes few lines, each once a minute at most, and each is of use to who has just set up a gateway.
    onLine: (line) => say(`broker: ${line}`),
  });
  await waitForReady(part);
  const listens = [
    `mqtt://${hostInUrl(mqttHost)}:${mqttPort}`,
    ...(mqttTls === null ? [] : [`mqtts://${hostInUrl(mqttTls.host)}:${mqttTls.port}`]),
  ];
  say(
    `the MQTT broker listens on ${listens.join(' and ')}; it speaks MQTT 3.1.1, not 5: set gateways to 3.1.1, also called version 4`,
  );
  return {
    part,
    env: {
      ...own,
      MQTT_PASSWORD_FILE: '',
      MQTT_URL: `mqtt://${reachable(mqttHost)}:${mqttPort}`,
      ...{ EMBEDDED_GATEWAYS_DIR: gateways, EMBEDDED_BROKER_LISTENS: listens.join(',') },
    },
  };
}

/** Where server and broker hand each other keys and what was seen of them. */
const gatewaysIn = (dataDir: string): string => join(dataDir, 'gateways');

const hostInUrl = (host: string): string => (host.includes(':') ? `[${host}]` : host);

/** Where this machine itself reaches what listens on `host`. */
const reachable = (host: string): string =>
  host === '0.0.0.0' || host === '::' ? '127.0.0.1' : hostInUrl(host);

/** A broker that others than this machine reach is for gateways with keys, so there has to be one. */
export async function requireKeys({ mqttHost, mqttTls, dataDir }: Settings): Promise<void> {
  const outside = [
    ...(isLoopback(mqttHost) ? [] : [`MQTT_HOST=${mqttHost}`]),
    ...(mqttTls === null || isLoopback(mqttTls.host)
      ? []
      : [`MQTT_TLS_CERT with MQTT_TLS_HOST=${mqttTls.host}`]),
  ];
  if (outside.length === 0) return;
  const keys = await readKeys(gatewaysIn(dataDir)).catch(() => null);
  if (keys?.some(({ hash }) => hash !== null)) return;
  throw new StartError(
    `${outside.join(' and ')} ${outside.length > 1 ? 'let' : 'lets'} others than this machine reach the MQTT broker, and no gateway has a key yet. ` +
      'Start without it, open the registry’s page of the site, then “Gateways”, and make a key there ' +
      '(or run `npx coldrounds gateway add SITE` meanwhile). Then start again with it.',
  );
}
