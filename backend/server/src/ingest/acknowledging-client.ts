import mqtt, { type IClientOptions, type IConnackPacket, type MqttClient } from 'mqtt';
import { writeToStream, type IPublishPacket } from 'mqtt-packet';

/** A message that the broker keeps until `acknowledge` is called. */
export interface HeldMessage {
  topic: string;
  payload: Buffer;
  receivedAt_ms: number;
  /** Client and packet identifier, the same when the broker sends the message again; null for QoS 0. */
  delivery: string | null;
  /** The session was resumed, or the broker says so: it may have been taken before. */
  mayBeRedelivered: boolean;
  /** Tells the broker that it is stored. Does nothing when its connection is gone: the broker sends it again. */
  acknowledge: () => void;
  /** Whether the connection that brought it still stands. */
  isCurrent: () => boolean;
}

export interface AcknowledgingClientOptions {
  url: string;
  clientId: string;
  username?: string;
  password?: string;
  /** `auto` tries MQTT 5 and falls back to 3.1.1. */
  protocol: 'auto' | 5 | 4;
  topics: string[];
  /** Group of a shared subscription (MQTT 5): several ingesters then share the messages. */
  sharedGroup?: string;
  /** Messages held at once; a broker of MQTT 5 sends no more. */
  receiveMaximum: number;
  /** How long the broker keeps the session of an ingester that is away, s. */
  sessionExpiry_s: number;
}

export interface ClientEvents {
  /** Takes a message. A promise returned means "full": no more is read from the connection until it resolves. */
  onMessage: (message: HeldMessage) => Promise<void> | null;
  onState: (state: { connected: boolean; detail: string }) => void;
}

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
  private everConnected = false;
  private sessionPresent = false;

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

  async stop(): Promise<void> {
    this.stopped = true;
    await this.client?.endAsync(true);
  }

  private connect(version: 4 | 5): void {
    const { url, clientId, username, password, receiveMaximum, sessionExpiry_s } = this.options;
    const settings: IClientOptions = {
      clientId,
      username,
      password,
      protocolVersion: version,
      clean: false,
      keepalive: 60,
      reconnectPeriod: 1_000,
      connectTimeout: 10_000,
      resubscribe: false,
      ...(version === 5
        ? {
            properties: {
              sessionExpiryInterval: sessionExpiry_s,
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
      this.subscribe(client, version);
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
    const { sharedGroup, topics } = this.options;
    if (sharedGroup && version === 4) {
      this.events.onState({
        connected: false,
        detail: 'A shared subscription needs a broker that supports MQTT 5.',
      });
      return;
    }
    const filters = topics.map((topic) => (sharedGroup ? `$share/${sharedGroup}/${topic}` : topic));
    client.subscribe(filters, { qos: 1 }, (error, granted) => {
      const refused = granted?.find((grant) => (grant.qos as number) > 2);
      if (error || refused) {
        const detail = `The broker rejects the subscription: ${error?.message ?? refused?.topic}`;
        this.events.onState({ connected: client.connected, detail });
      } else {
        this.events.onState({
          connected: true,
          detail: `Connected over MQTT ${version === 5 ? '5' : '3.1.1'}.`,
        });
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
    const isCurrent = () => client.connected && client.stream === stream && !stream.destroyed;
    const full = this.events.onMessage({
      topic: packet.topic,
      payload: Buffer.isBuffer(packet.payload) ? packet.payload : Buffer.from(packet.payload),
      receivedAt_ms: Date.now(),
      delivery: qos === 0 ? null : `${this.options.clientId}:${messageId}`,
      mayBeRedelivered: qos > 0 && (packet.dup || this.sessionPresent),
      isCurrent,
      acknowledge: () => {
        if (qos === 0 || !isCurrent()) return;
        writeToStream({ cmd: 'puback', messageId, reasonCode: 0 }, stream, { protocolVersion: version });
      },
    });
    if (full) void full.then(() => callback(held));
    else callback(held);
  }
}

/** "Unacceptable protocol version": 1 in MQTT 3.1.1, 0x84 in MQTT 5. */
const refusesVersion = (error: { code?: number | string }) => error.code === 1 || error.code === 0x84;
