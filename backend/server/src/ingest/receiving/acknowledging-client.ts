import mqtt, { type IClientOptions, type IConnackPacket, type MqttClient } from 'mqtt';
import { writeToStream, type IPublishPacket } from 'mqtt-packet';

/** A message that the broker keeps until `acknowledge` is called. */
export interface HeldMessage {
  topic: string;
  payload: Buffer;
  receivedAt_ms: number;
  /** Client and packet identifier, the same when the broker sends the message again; null for QoS 0. */
  delivery: string | null;
  /**
   * It may have been taken before: the broker says so, or the session was resumed and this is the first use of its
   * packet identifier, early enough to be one of those that were under way when the last connection ended.
   */
  mayBeRedelivered: boolean;
  /** When the connection that brought it began. */
  connectedAt_ms: number;
  /** Tells the broker that it is stored. Does nothing when its connection is gone: the broker sends it again. */
  acknowledge: () => void;
}

export interface AcknowledgingClientOptions {
  url: string;
  clientId: string;
  username?: string;
  password?: string;
  /** Certificates (PEM) by which the broker's has to be signed; left out: those that Node.js trusts. */
  ca?: string;
  /** `auto` tries MQTT 5 and falls back to 3.1.1. */
  protocol: 'auto' | 5 | 4;
  topics: string[];
  /** Group of a shared subscription (MQTT 5): several ingesters then share the messages. */
  sharedGroup?: string;
  /** Messages held at once; a broker of MQTT 5 sends no more. */
  receiveMaximum: number;
  /** How long the broker keeps the session of an ingester that is away, s. */
  sessionExpiry_s: number;
  /** Begins anew with each connection: the broker keeps nothing for it meanwhile. */
  clean?: boolean;
  /** What the broker is to say, retained, when the connection is lost. */
  will?: () => { topic: string; payload: string };
  /** Only takes what the broker holds for the session, subscribes to nothing, and ends with its connection. */
  drainOnly?: boolean;
}

export interface ClientEvents {
  /** Takes a message. A promise returned means "full": no more is read from the connection until it resolves. */
  onMessage: (message: HeldMessage) => Promise<void> | null;
  onState: (state: { connected: boolean; detail: string }) => void;
  /** Subscribed, after each connection. */
  onSubscribed?: () => void;
  /** The broker's own count of messages that it dropped since its start, where it tells. */
  onDropped?: (count: number) => void;
}

/** Messages dropped because a queue of the broker was full (Mosquitto's `$SYS` tree). */
const droppedTopic = '$SYS/broker/publish/messages/dropped';
/** Where a broker lets no marker through: nothing came for so long, so it has nothing left for the session. */
const quiet_ms = 8_000;

/** Handed to the client's packet pump in place of "done": it goes on to the next packet and sends no acknowledgement. */
const held = new Error('held until stored');

/**
 * An MQTT client whose QoS 1 messages are acknowledged by their taker, after they are stored, and not when they arrive.
 *
 * The `mqtt` package acknowledges when `handleMessage` calls back without an error. Here it calls back with one at
 * once, which moves on to the next packet, and the PUBACK is written by `acknowledge`. While the taker is full the
 * callback waits, so that the socket is not read and the broker has to wait.
 */
export class AcknowledgingClient {
  private client: MqttClient | null = null;
  private stopped = false;
  private version: 4 | 5 = 5;
  private lastMessage_ms = 0;
  private marker: string | null = null;
  private markerCame = false;
  private everConnected = false;
  private sessionPresent = false;
  private connectedAt_ms = 0;
  private readonly usedIds = new Set<number>();

  constructor(
    private readonly options: AcknowledgingClientOptions,
    private readonly events: ClientEvents,
  ) {}

  get connected(): boolean {
    return this.client?.connected ?? false;
  }

  start(): void {
    this.connect(this.options.protocol === 4 ? 4 : 5);
  }

  /** Publishes on the connection as it is; nothing is kept for later where there is none. */
  async publish(
    topic: string,
    payload: Uint8Array | string,
    options: { qos: 0 | 1; retain?: boolean },
  ): Promise<void> {
    if (!this.client?.connected) return;
    await this.client.publishAsync(topic, Buffer.from(payload), options).catch(() => {});
  }

  /** Ends the connection; the broker keeps the session and queues for it. */
  async stop(): Promise<void> {
    this.stopped = true;
    await this.client?.endAsync(true);
  }

  /**
   * Leaves a shared subscription for good: takes what the broker holds for this session, gives the subscription back
   * and has the session forgotten, so that nothing is queued for nobody. `isEmpty` tells that all that came is stored.
   * False where that did not happen in time: then the session stays, as after `stop`.
   */
  async leave(isEmpty: () => boolean, patience_ms: number): Promise<boolean> {
    const { client } = this;
    if (!client?.connected || this.version !== 5) {
      await this.stop();
      return false;
    }
    const until = Date.now() + patience_ms;
    await client.unsubscribeAsync(this.filters()).catch(() => {});
    const marked = await this.mark(client);
    this.lastMessage_ms = Date.now();
    while (Date.now() < until && client.connected) {
      const drained = marked ? this.markerCame : Date.now() - this.lastMessage_ms > quiet_ms;
      if (drained && isEmpty()) {
        this.stopped = true;
        await client.endAsync(false, { properties: { sessionExpiryInterval: 0 } });
        return true;
      }
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    await this.stop();
    return false;
  }

  /**
   * Sends itself a message: a broker delivers in order, so when it comes, all that was queued before has come. False
   * where the broker does not allow it.
   */
  private async mark(client: MqttClient): Promise<boolean> {
    this.marker = `coldrounds-drain/${this.options.clientId}/${Date.now()}`;
    try {
      const [granted] = await client.subscribeAsync(this.marker, { qos: 1 });
      if (granted === undefined || (granted.qos as number) > 2) return false;
      const answer = await client.publishAsync(this.marker, '', { qos: 1 });
      return ((answer as { reasonCode?: number } | undefined)?.reasonCode ?? 0) < 0x80;
    } catch {
      return false;
    }
  }

  private filters(): string[] {
    const { sharedGroup, topics } = this.options;
    return topics.map((topic) => (sharedGroup ? `$share/${sharedGroup}/${topic}` : topic));
  }

  private connect(version: 4 | 5): void {
    this.version = version;
    const { url, clientId, username, password, ca, receiveMaximum, sessionExpiry_s, clean, will } =
      this.options;
    const settings: IClientOptions = {
      clientId,
      username,
      password,
      ...(ca === undefined ? {} : { ca }),
      protocolVersion: version,
      clean: clean ?? false,
      ...(will === undefined ? {} : { will: willOf(will()) }),
      keepalive: 60,
      reconnectPeriod: this.options.drainOnly ? 0 : 1_000,
      connectTimeout: 10_000,
      resubscribe: false,
      ...(version === 5
        ? {
            properties: {
              sessionExpiryInterval: clean ? 0 : sessionExpiry_s,
              receiveMaximum,
              maximumPacketSize: 2 ** 25,
            },
          }
        : {}),
    };
    const client = mqtt.connect(url, settings);
    this.client = client;
    client.handleMessage = (packet, callback) =>
      this.take(client, version, packet as IPublishPacket, callback);
    client.on('connect', (connack: IConnackPacket) => {
      this.everConnected = true;
      this.sessionPresent = connack.sessionPresent;
      this.connectedAt_ms = Date.now();
      this.usedIds.clear();
      if (this.options.drainOnly) this.events.onState({ connected: true, detail: 'Connected to drain.' });
      else this.subscribe(client, version);
    });
    client.on('close', () =>
      this.events.onState({ connected: false, detail: 'The broker is not connected.' }),
    );
    client.on('error', (error: Error & { code?: number | string }) => {
      if (this.options.protocol === 'auto' && version === 5 && refusesVersion(error)) this.fallBack(client);
      else this.events.onState({ connected: client.connected, detail: error.message });
    });
    if (this.options.protocol === 'auto' && version === 5) {
      // A broker that does not know MQTT 5 may also just hang up.
      client.once('close', () => {
        if (!this.everConnected && reached) this.fallBack(client);
      });
      let reached = false;
      client.stream.once('connect', () => (reached = true));
    }
  }

  private fallBack(client: MqttClient): void {
    if (this.client !== client || this.stopped) return;
    client.removeAllListeners();
    client.on('error', () => {});
    client.end(true);
    this.connect(4);
  }

  private subscribe(client: MqttClient, version: 4 | 5): void {
    const { sharedGroup } = this.options;
    if (sharedGroup && version === 4) {
      this.events.onState({
        connected: false,
        detail: 'A shared subscription needs a broker that supports MQTT 5.',
      });
      return;
    }
    client.subscribe(this.filters(), { qos: 1 }, (error, granted) => {
      const refused = granted?.find((grant) => (grant.qos as number) > 2);
      if (error || refused) {
        const detail = `The broker rejects the subscription: ${error?.message ?? refused?.topic}`;
        this.events.onState({ connected: client.connected, detail });
      } else {
        // Told on top where the broker lets it: a refusal changes nothing.
        client.subscribe(droppedTopic, { qos: 0 }, () => {});
        this.events.onState({
          connected: true,
          detail: `Connected over MQTT ${version === 5 ? '5' : '3.1.1'}.`,
        });
        this.events.onSubscribed?.();
      }
    });
  }

  private take(
    client: MqttClient,
    version: 4 | 5,
    packet: IPublishPacket,
    callback: (error?: Error) => void,
  ): void {
    const { stream } = client;
    const { messageId, qos } = packet;
    if (packet.topic.startsWith('$SYS/')) {
      const count = Number(packet.payload.toString());
      if (packet.topic === droppedTopic && Number.isInteger(count)) this.events.onDropped?.(count);
      callback(held);
      return;
    }
    this.lastMessage_ms = Date.now();
    if (packet.topic === this.marker) {
      this.markerCame = true;
      if (qos > 0)
        writeToStream({ cmd: 'puback', messageId, reasonCode: 0 }, stream, { protocolVersion: version });
      callback(held);
      return;
    }
    const isCurrent = () => client.connected && client.stream === stream && !stream.destroyed;
    const early = this.usedIds.size < this.options.receiveMaximum && !this.usedIds.has(messageId ?? 0);
    if (qos > 0 && this.usedIds.size < this.options.receiveMaximum) this.usedIds.add(messageId!);
    const full = this.events.onMessage({
      topic: packet.topic,
      payload: Buffer.isBuffer(packet.payload) ? packet.payload : Buffer.from(packet.payload),
      receivedAt_ms: Date.now(),
      delivery: qos === 0 ? null : `${this.options.clientId}:${messageId}`,
      mayBeRedelivered: qos > 0 && (packet.dup || (this.sessionPresent && early)),
      connectedAt_ms: this.connectedAt_ms,
      acknowledge: () => {
        if (qos === 0 || !isCurrent()) return;
        writeToStream({ cmd: 'puback', messageId, reasonCode: 0 }, stream, { protocolVersion: version });
      },
    });
    if (full) void full.then(() => callback(held));
    else callback(held);
  }
}

const willOf = ({ topic, payload }: { topic: string; payload: string }) => ({
  ...{ topic, payload: Buffer.from(payload), qos: 1 as const, retain: true },
});

/** "Unacceptable protocol version": 1 in MQTT 3.1.1, 0x84 in MQTT 5. */
const refusesVersion = (error: { code?: number | string }) => error.code === 1 || error.code === 0x84;
