import type { Server as TlsServer } from 'node:tls';
import { Aedes } from 'aedes';
import { keysFileIn, readKeys } from '../gateways/handing-over/embedded-files.js';
import { Admission, longestClientId, type OwnParts } from './admission/admission.js';
import { readCertificate, type CertificateFiles } from './admission/certificate.js';
import { Doors } from './admission/doors.js';
import { SeenLog } from './admission/seen.js';
import { watchFiles } from './admission/watched-files.js';

export interface BrokerOptions {
  port: number;
  host?: string;
  /** A second port with TLS. */
  tls?: CertificateFiles & { port: number; host: string };
  /**
   * Publishers wait for their acknowledgement until somebody has subscribed to this filter. Sessions live in memory, so
   * after each start what a gateway sends before the ingester has subscribed would be acknowledged and lost.
   */
  holdUntilSubscribed?: string;
  /** Folder in which the server hands over the keys of gateways; without one there are none. */
  gateways?: string;
  /** User and password of the run's own parts; needed where others than this machine can connect. */
  own?: OwnParts;
  /** Lines for a person: what was refused, a certificate that was read again. */
  say?: (line: string) => void;
  /** How long an answer to a wrong key is held back, ms. */
  hold_ms?: number;
}

export interface RunningBroker {
  url: string;
  /** Null: there is no port with TLS. */
  tlsUrl: string | null;
  stop: () => Promise<void>;
}

/**
 * The embedded MQTT broker (3.1.1), for one machine and a few sites. Its sessions live in memory: a store on disk
 * (aedes-persistence-level 9.2) was tried and took minutes over 500 packs of 150 kB. So the supervisor stops it only
 * after the ingester has emptied its queue, and a large site uses a broker that persists (docker-compose.yml).
 */
export async function startBroker(options: BrokerOptions): Promise<RunningBroker> {
  const { host = '127.0.0.1', port, tls, gateways, say = () => {} } = options;
  const aedes = await Aedes.createBroker({ concurrency: 32, maxClientsIdLength: longestClientId });
  const seen = await SeenLog.open({ folder: gateways ?? null, say });
  const admission = new Admission(aedes, { own: options.own ?? null, seen, hold_ms: options.hold_ms });
  if (options.holdUntilSubscribed !== undefined) holdPublishes(aedes, options.holdUntilSubscribed);
  const doors = new Doors(aedes, admission);
  const stops: (() => void)[] = [];
  const stop = async () => {
    for (const step of stops) step();
    await doors.close();
    await seen.close();
  };
  try {
    if (gateways !== undefined) stops.push(await followKeys(gateways, admission, say));
    await doors.open({ port, host, variable: 'MQTT_PORT' });
    if (tls !== undefined) {
      const secure = await doors.open({ ...tls, variable: 'MQTT_TLS_PORT' }, await readCertificate(tls));
      stops.push(followCertificate(secure, tls, say));
    }
  } catch (error) {
    await stop();
    throw error;
  }
  return {
    url: `mqtt://${host}:${port}`,
    tlsUrl: tls === undefined ? null : `mqtts://${tls.host}:${tls.port}`,
    stop,
  };
}

/** Keys as the server last handed them over, and whenever it hands over others. */
async function followKeys(
  folder: string,
  admission: Admission,
  say: (line: string) => void,
): Promise<() => void> {
  const take = async () => admission.takeKeys((await readKeys(folder)) ?? []);
  const stop = watchFiles([keysFileIn(folder)], () =>
    take().catch((error: unknown) =>
      say(`the keys of gateways cannot be read, those before hold on: ${String(error)}`),
    ),
  );
  await take();
  return stop;
}

/** The certificate of the operator, again whenever its files have changed. */
function followCertificate(
  server: TlsServer,
  files: CertificateFiles,
  say: (line: string) => void,
): () => void {
  return watchFiles([files.certFile, files.keyFile], async () => {
    try {
      server.setSecureContext(await readCertificate(files));
      say('the certificate was read again; new connections use it');
    } catch (error) {
      say(`the new certificate cannot be used, the one before holds on: ${(error as Error).message}`);
    }
  });
}

function holdPublishes(aedes: Aedes, filter: string): void {
  const subscribed = new Promise<void>((resolve) => {
    aedes.on('subscribe', (subscriptions) => {
      // 128: it was refused.
      if (subscriptions.some(({ topic, qos }) => topic === filter && Number(qos) < 128)) resolve();
    });
  });
  const { authorizePublish } = aedes;
  aedes.authorizePublish = (client, packet, done) =>
    void subscribed.then(() => authorizePublish(client, packet, done));
}
