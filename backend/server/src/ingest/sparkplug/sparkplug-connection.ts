import {
  commandTopic,
  sparkplugFilters,
  sparkplugRoot,
  type EdgeNodeAddress,
} from '@coldrounds/core/sparkplug';
import {
  AcknowledgingClient,
  type AcknowledgingClientOptions,
  type ClientEvents,
} from '../receiving/acknowledging-client.js';
import { encodeRebirth } from './payload-codec.js';

export interface SparkplugConnectionOptions {
  mqtt: Omit<AcknowledgingClientOptions, 'topics' | 'sharedGroup' | 'clean' | 'will'>;
  /** Says that it is there as the host application of this name (`STATE`); left out: it only listens. */
  hostId?: string;
}

/**
 * The connection to the broker over which Sparkplug comes, apart from that of SenML: the standard wants a clean session of
 * its host applications (tck-id-message-flow-phid-sparkplug-clean-session-311 and -50), and edge nodes send at QoS 0, of
 * which a broker keeps nothing.
 */
export class SparkplugConnection {
  private readonly client: AcknowledgingClient;
  /** Of the certificates of this connection: birth and will carry the same. */
  private stated_ms = 0;
  private leaving = false;

  constructor(
    private readonly options: SparkplugConnectionOptions,
    events: Pick<ClientEvents, 'onMessage' | 'onState'>,
  ) {
    const { hostId, mqtt } = options;
    const own = hostId === undefined ? null : stateTopic(hostId);
    this.client = new AcknowledgingClient(
      {
        ...mqtt,
        // One has all messages; none are shared.
        sharedGroup: undefined,
        topics: own === null ? [...sparkplugFilters] : [...sparkplugFilters, own],
        clean: true,
        ...(own === null ? {} : { will: () => this.certificate(own, false, Date.now()) }),
      },
      {
        onState: events.onState,
        onMessage: (message) => {
          if (message.topic !== own) return events.onMessage(message);
          message.acknowledge();
          // The will of an earlier connection may come after the birth of this one.
          if (isOffline(message.payload)) void this.state(own, true);
          return null;
        },
        onSubscribed: () => {
          if (own !== null) void this.state(own, true);
        },
      },
    );
  }

  start(): void {
    this.client.start();
  }

  async stop(): Promise<void> {
    const { hostId } = this.options;
    if (hostId !== undefined) {
      // A connection that is ended on purpose leaves no will.
      const patience = new Promise((resolve) => setTimeout(resolve, 2_000).unref());
      await Promise.race([this.state(stateTopic(hostId), false), patience]);
    }
    await this.client.stop();
  }

  /** The one thing that is ever published to an edge node (tck-id-payloads-ncmd-qos, -retain). */
  requestRebirth(node: EdgeNodeAddress): void {
    void this.client.publish(commandTopic(node), encodeRebirth(Date.now()), { qos: 0, retain: false });
  }

  private state(topic: string, online: boolean): Promise<void> {
    if (online && this.leaving) return Promise.resolve();
    this.leaving = !online;
    const { payload } = this.certificate(topic, online, online ? this.stated_ms : Date.now());
    return this.client.publish(topic, payload, { qos: 1, retain: true });
  }

  private certificate(topic: string, online: boolean, timestamp: number) {
    this.stated_ms = timestamp;
    return { topic, payload: JSON.stringify({ online, timestamp }) };
  }
}

const stateTopic = (hostId: string) => `${sparkplugRoot}/STATE/${hostId}`;

function isOffline(payload: Buffer): boolean {
  try {
    return (JSON.parse(payload.toString('utf8')) as { online?: unknown }).online === false;
  } catch {
    return false;
  }
}
