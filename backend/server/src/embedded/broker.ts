import { createServer } from 'node:net';
import { Aedes } from 'aedes';
import { StartError } from './start-error.js';

export interface BrokerOptions {
  port: number;
  host?: string;
  /**
   * Publishers wait for their acknowledgement until somebody has subscribed to this filter. Sessions live in memory, so
   * after each start what a gateway sends before the ingester has subscribed would be acknowledged and lost.
   */
  holdUntilSubscribed?: string;
}

export interface RunningBroker {
  url: string;
  stop: () => Promise<void>;
}

/**
 * The embedded MQTT broker (3.1.1), for one machine and the demo. Its sessions live in memory: a store on disk
 * (aedes-persistence-level 9.2) was tried and took minutes over 500 packs of 150 kB. So the supervisor stops it only
 * after the ingester has emptied its queue, and a real site uses a broker that persists (docker-compose.yml).
 */
export async function startBroker(options: BrokerOptions): Promise<RunningBroker> {
  const host = options.host ?? '127.0.0.1';
  const aedes = await Aedes.createBroker({ concurrency: 32 });
  if (options.holdUntilSubscribed !== undefined) holdPublishes(aedes, options.holdUntilSubscribed);
  const server = createServer(aedes.handle);
  await new Promise<void>((resolve, reject) => {
    server.once('error', (error: NodeJS.ErrnoException) => {
      reject(
        error.code === 'EADDRINUSE'
          ? new StartError(`Port ${options.port} for MQTT is in use. Set MQTT_PORT to a free port.`)
          : error,
      );
    });
    server.listen(options.port, host, resolve);
  });
  return {
    url: `mqtt://${host}:${options.port}`,
    stop: async () => {
      const closed = new Promise<void>((resolve) => server.close(() => resolve()));
      await new Promise<void>((resolve) => aedes.close(() => resolve()));
      await closed;
    },
  };
}

function holdPublishes(aedes: Aedes, filter: string): void {
  const subscribed = new Promise<void>((resolve) => {
    aedes.on('subscribe', (subscriptions) => {
      if (subscriptions.some(({ topic }) => topic === filter)) resolve();
    });
  });
  const { authorizePublish } = aedes;
  aedes.authorizePublish = (client, packet, done) =>
    void subscribed.then(() => authorizePublish(client, packet, done));
}
