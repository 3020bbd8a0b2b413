import { connect, type MqttClient } from 'mqtt';
import { encodePresence } from './packs.js';

/** How to reach the broker. */
export interface BrokerOptions {
  url: string;
  username?: string;
  password?: string;
  /** 4 is MQTT 3.1.1, 5 is MQTT 5. */
  protocolVersion: 4 | 5;
}

/** A shared bound on messages under way: `take` waits for a place. */
export interface Flow {
  take(): Promise<void>;
  give(): void;
  readonly underWay: number;
}

export function createFlow(most: number): Flow {
  let underWay = 0;
  const waiting: (() => void)[] = [];
  return {
    take() {
      if (underWay < most) {
        underWay++;
        return Promise.resolve();
      }
      return new Promise((resolve) => waiting.push(resolve));
    },
    give() {
      const next = waiting.shift();
      if (next) next();
      else underWay--;
    },
    get underWay() {
      return underWay;
    },
  };
}

/** One gateway's connection: QoS 1, presence retained, a will that says that it is gone. */
export interface GatewayLink {
  /** Waits for a place in the flow, sends, and returns; the place is given back when the broker has acknowledged. */
  publish(topic: string, payload: string): Promise<void>;
  /** Breaks the connection without a DISCONNECT packet, so that the broker publishes the will. */
  drop(): void;
  reconnect(): void;
  /** Says that it is gone, and disconnects. */
  close(): Promise<void>;
}

const topicHead = 'coldrounds/1';

/** Topic of one of a unit's streams, e.g. `circuits/1`. */
export const topicOf = (unit: string, stream: string): string => `${topicHead}/${unit}/${stream}`;

/** "Unacceptable protocol version": 1 in MQTT 3.1.1, 0x84 in MQTT 5. */
const refusesVersion = (error: { code?: number | string }) => error.code === 1 || error.code === 0x84;

/** Connects, however long it takes; by MQTT 3.1.1 where the broker refuses MQTT 5. */
function connected(unit: string, broker: BrokerOptions): Promise<MqttClient> {
  const presence = topicOf(unit, 'presence');
  const client: MqttClient = connect(broker.url, {
    protocolVersion: broker.protocolVersion,
    username: broker.username,
    password: broker.password,
    clientId: `gateway-${unit.replace('/', '-')}`,
    clean: true,
    keepalive: 30,
    reconnectPeriod: 2000,
    connectTimeout: 20_000,
    will: { topic: presence, payload: encodePresence(unit, false, null), qos: 1, retain: true },
  });
  client.on('connect', () =>
    client.publish(presence, encodePresence(unit, true, Math.floor(Date.now() / 1000)), {
      qos: 1,
      retain: true,
    }),
  );
  return new Promise((resolve) => {
    client.once('connect', () => resolve(client));
    // Errors are followed by a new attempt; the run goes on and keeps what it could not send.
    client.on('error', (error: Error & { code?: number | string }) => {
      if (broker.protocolVersion !== 5 || !refusesVersion(error)) return;
      client.removeAllListeners();
      client.on('error', () => undefined);
      client.end(true);
      resolve(connected(unit, { ...broker, protocolVersion: 4 }));
    });
  });
}

export async function openLink(unit: string, broker: BrokerOptions, flow: Flow): Promise<GatewayLink> {
  const presence = topicOf(unit, 'presence');
  const client = await connected(unit, broker);
  return {
    async publish(topic, payload) {
      await flow.take();
      client.publish(topic, payload, { qos: 1 }, () => flow.give());
    },
    drop() {
      client.options.reconnectPeriod = 0;
      client.stream.destroy();
    },
    reconnect() {
      client.options.reconnectPeriod = 2000;
      client.reconnect();
    },
    async close() {
      if (client.connected) {
        await client
          .publishAsync(presence, encodePresence(unit, false, Math.floor(Date.now() / 1000)), {
            qos: 1,
            retain: true,
          })
          .catch(() => undefined);
      }
      await client.endAsync(!client.connected).catch(() => undefined);
    },
  };
}
