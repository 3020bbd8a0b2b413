import { setImmediate as nextTurn, setTimeout as delay } from 'node:timers/promises';
import { loadIngestUnits, RegistryChangedError } from '../storage/incoming/ingest-registry.js';
import { emptyBatch, type CommitSummary, type UnreadRow } from '../storage/incoming/ingest-batch.js';
import { IngestRepository } from '../storage/incoming/ingest-repository.js';
import { BrokerLossRepository } from '../storage/ingest/broker-loss.repository.js';
import { IngesterRepository } from '../storage/ingest/ingester.repository.js';
import type { EdgeNodeLimits } from '@coldrounds/core/sparkplug';
import { listen } from '../storage/connection/notifications.js';
import type { Database } from '../storage/connection/database.js';
import { applyRetention, type Retention } from '../storage/schema/time-series.js';
import { mayPass } from '../storage/connection/database-errors.js';
import {
  AcknowledgingClient,
  type AcknowledgingClientOptions,
  type ClientEvents,
  type HeldMessage,
} from './receiving/acknowledging-client.js';
import { BrokerLosses } from './receiving/broker-losses.js';
import { defaultGroupTimes, IngesterGroup, type GroupTimes } from './ingester-group.js';
import { defaultQueueLimits, MessageQueue, type QueueLimits } from './receiving/message-queue.js';
import { defaultReadLimits, readMessage, type MessageParts, type ReadLimits } from './read-message.js';
import { batchOf, WaitingReader, type ReadMessage } from './waiting-reader.js';
import { DeliveryRepository } from '../storage/delivery/delivery.repository.js';
import { HeardRepository } from '../storage/ingest/heard.repository.js';
import { RelativeTimes } from './relative-times.js';
import { isSparkplug } from './sparkplug/sparkplug-reader.js';
import { SparkplugRoom } from './sparkplug/sparkplug-room.js';
import { UnitDirectory } from './unit-directory.js';
import { unreadRow } from './unread-row.js';
import { RateMeter } from './rate-meter.js';

export interface IngestOptions {
  mqtt: {
    url: string;
    username?: string;
    password?: string;
    /** Certificates (PEM) by which the broker's has to be signed; left out: those that Node.js trusts. */
    ca?: string;
    /** Stable: the broker keeps the session, and with it what is not acknowledged, under this name. */
    clientId: string;
    sharedGroup?: string;
    protocol?: AcknowledgingClientOptions['protocol'];
    sessionExpiry_s?: number;
  };
  /** Takes Sparkplug B too; left out: it does not. */
  sparkplug?: { hostId?: string; limits?: EdgeNodeLimits };
  /** How often an ingester of a shared subscription says that it lives, and when it is taken for dead. */
  group?: Partial<GroupTimes>;
  read?: Partial<Omit<ReadLimits, 'oldest_s'>>;
  /** Applied at the start and every six hours; what is older is not taken in either. Default: keep for ever. */
  retention?: Retention;
  queue?: Partial<QueueLimits>;
  /** After each commit, with what it changed. Must not throw; it is not awaited. */
  onCommitted?: (summary: CommitSummary) => void;
  /** A line for the log, when something changes that a person should know. */
  log?: (level: 'info' | 'warn' | 'error', line: string) => void;
}

/** For `/api/health` and progress. */
export interface IngestStatus {
  connected: boolean;
  /** The last attempt to store failed; it is being repeated. */
  storing: 'ok' | 'waiting-for-database';
  messages: number;
  /** Rows stored since the start, repeats not counted. */
  rows: number;
  unread: number;
  /** Rows stored per second, over the last half minute. */
  rowsPerSecond: number;
  queuedMessages: number;
  queuedBytes: number;
  /** Age of the oldest message that is not stored, s. */
  lag_s: number;
  lastCommitAt: Date | null;
}

/** So long what strangers send is kept, for their units to be registered. */
const heardKept_days = 7;

/** How often counts of batches are added to the hours of their units. */
const foldEvery_ms = 15_000;

/** Under the 15 s after which the process is ended. */
const leavePatience_ms = 10_000;

/** Everything under the contract's root, so that a stranger's topic is seen and not silently passed over. */
const topics = ['coldrounds/#'];

/**
 * Takes telemetry from the broker into the store: read, stored, then acknowledged. While one batch is being stored the
 * next is read. When the database is away, the batch is tried again until it is back; meanwhile nothing is
 * acknowledged, the queue fills to its bound, and then the broker waits.
 */
export class IngestService {
  private readonly repository: IngestRepository;
  private readonly directory: UnitDirectory;
  private readonly relativeTimes: RelativeTimes;
  private readonly heard: HeardRepository;
  private readonly deliveries: DeliveryRepository;
  private readonly waiting: WaitingReader;
  private readonly queue: MessageQueue;
  private readonly client: AcknowledgingClient;
  private readonly group: IngesterGroup | null;
  private readonly sparkplug: SparkplugRoom | null;
  private readonly losses: BrokerLosses;
  private readonly readLimits: ReadLimits;
  private readonly stopping = new AbortController();
  private readonly meter = new RateMeter(30_000);
  private running: Promise<void> | null = null;
  private retentionTimer: NodeJS.Timeout | undefined;
  private foldTimer: NodeJS.Timeout | undefined;
  private folding: Promise<void> | null = null;
  private stopListening: (() => Promise<void>) | null = null;
  private inFlight = 0;
  private readonly counters = {
    messages: 0,
    rows: 0,
    unread: 0,
    waiting: false,
    lastCommitAt: null as Date | null,
  };

  constructor(
    private readonly database: Database,
    private readonly options: IngestOptions,
  ) {
    this.repository = new IngestRepository(database.pool);
    this.relativeTimes = new RelativeTimes((delivery, digest, before_ms) =>
      this.repository.resolvedAt_ms(delivery, digest, before_ms),
    );
    this.directory = new UnitDirectory(() => loadIngestUnits(database));
    this.heard = new HeardRepository(database);
    this.deliveries = new DeliveryRepository(database);
    this.waiting = this.waitingReader();
    const queueLimits = { ...defaultQueueLimits, ...options.queue };
    this.queue = new MessageQueue(queueLimits);
    this.readLimits = { ...defaultReadLimits, ...options.read };
    this.losses = new BrokerLosses(new BrokerLossRepository(database), options.mqtt.url, (line) =>
      this.say('warn', line),
    );
    this.client = new AcknowledgingClient(this.clientOptions(queueLimits), {
      ...this.clientEvents(),
      onDropped: (count) => void this.losses.told(count),
    });
    this.group = this.groupOf(queueLimits);
    this.sparkplug = this.sparkplugOf(queueLimits);
  }

  private sparkplugOf(queueLimits: QueueLimits): SparkplugRoom | null {
    const { sparkplug, mqtt } = this.options;
    if (sparkplug === undefined) return null;
    return new SparkplugRoom(this.database.pool, {
      ...{ ...sparkplug, shared: mqtt.sharedGroup !== undefined },
      // One name for all ingesters of a group: the broker itself lets one of them be connected.
      mqtt: {
        ...this.clientOptions(queueLimits),
        clientId: `${mqtt.sharedGroup ?? mqtt.clientId}-sparkplug`,
      },
      put: (message) => this.queue.put(message),
      say: (level, line) => this.say(level, line),
    });
  }

  private clientOptions(queueLimits: QueueLimits): AcknowledgingClientOptions {
    const { protocol, sessionExpiry_s, ...mqtt } = this.options.mqtt;
    return {
      ...mqtt,
      protocol: protocol ?? 'auto',
      topics,
      receiveMaximum: Math.min(queueLimits.maximumMessages, 65_535),
      sessionExpiry_s: sessionExpiry_s ?? 7 * 86_400,
    };
  }

  private clientEvents(): ClientEvents {
    return {
      onMessage: (message) => this.queue.put(message),
      onState: ({ connected, detail }) => this.say(connected ? 'info' : 'warn', detail),
    };
  }

  /** Takes over the queues of ingesters of the same group that have died. */
  private groupOf(queueLimits: QueueLimits): IngesterGroup | null {
    const { sharedGroup, clientId } = this.options.mqtt;
    if (!sharedGroup) return null;
    const options = this.clientOptions(queueLimits);
    return new IngesterGroup(new IngesterRepository(this.database), {
      group: sharedGroup,
      clientId,
      times: { ...defaultGroupTimes, ...this.options.group },
      drain: (deadId) =>
        new AcknowledgingClient(
          { ...options, clientId: deadId, protocol: 5, drainOnly: true },
          this.clientEvents(),
        ),
      isEmpty: () => this.isEmpty(),
      say: (line) => this.say('warn', line),
    });
  }

  private isEmpty(): boolean {
    return this.queue.depth === 0 && this.inFlight === 0;
  }

  start(): void {
    if (this.running) return;
    this.stopListening = listen(this.database.pool, 'coldrounds_registry', () => {
      this.directory.invalidate();
      void this.readWaiting();
      // Where the database is away, the next message has it done.
      void this.sparkplug?.reader.lookAgain(this.directory, Date.now()).catch(() => {});
    });
    this.client.start();
    this.group?.start();
    this.sparkplug?.start();
    this.running = this.run();
    void this.readWaiting();
    void this.dropOld();
    this.retentionTimer = setInterval(() => void this.dropOld(), 6 * 3_600_000).unref();
    this.foldTimer = setInterval(() => void this.fold(), foldEvery_ms).unref();
  }

  /**
   * Stores what is being stored, acknowledges it, and leaves the rest to the broker; one of several ingesters first
   * gives its part of the subscription back and takes what the broker has queued for it.
   */
  async stop(): Promise<void> {
    await this.sparkplug?.stop();
    await this.group?.stop();
    if (this.group && (await this.client.leave(() => this.isEmpty(), leavePatience_ms)))
      await this.group.left().catch(() => {});
    this.stopping.abort();
    clearInterval(this.retentionTimer);
    clearInterval(this.foldTimer);
    await this.running;
    await this.folding;
    await this.client.stop();
    await this.stopListening?.();
  }

  status(): IngestStatus {
    const oldest_ms = this.queue.oldest_ms;
    const { waiting, ...counters } = this.counters;
    return {
      ...counters,
      connected: this.client.connected,
      storing: waiting ? 'waiting-for-database' : 'ok',
      rowsPerSecond: this.meter.perSecond(),
      queuedMessages: this.queue.depth + this.inFlight,
      queuedBytes: this.queue.heldBytes,
      lag_s: oldest_ms === null ? 0 : Math.max(0, (Date.now() - oldest_ms) / 1000),
    };
  }

  private async run(): Promise<void> {
    let storing = Promise.resolve();
    const { signal } = this.stopping;
    while (!signal.aborted) {
      const messages = await this.queue.take(signal);
      if (messages.length === 0) continue;
      this.inFlight += messages.length;
      const items = await this.read(messages);
      await storing;
      storing = this.store(items).finally(() => (this.inFlight -= messages.length));
    }
    await storing;
  }

  private async read(messages: HeldMessage[]): Promise<ReadMessage[]> {
    const items: ReadMessage[] = [];
    const limits = { ...this.readLimits, oldest_s: this.oldest_s() };
    let turnStarted = performance.now();
    const ready = messages.flatMap(
      (message) => this.sparkplug?.inTurn(message, limits.maximumPayload) ?? [message],
    );
    for (const message of ready) {
      let parts: MessageParts | undefined;
      try {
        parts = await this.untilDone(() => this.readOne(message, limits));
      } catch (error) {
        parts = { unread: [this.notStorable(message, error as Error)] };
      }
      if (parts === undefined) return [];
      items.push({ message, parts, version: this.directory.version });
      // A long backlog must not keep the process from answering.
      if (performance.now() - turnStarted > 20) {
        await nextTurn();
        turnStarted = performance.now();
      }
    }
    return items;
  }

  private readOne(message: HeldMessage, limits: ReadLimits): Promise<MessageParts> {
    return this.sparkplug !== null && isSparkplug(message)
      ? this.sparkplug.reader.read(message, this.directory, limits)
      : readMessage(message, this.directory, limits, this.relativeTimes);
  }

  private async store(items: ReadMessage[]): Promise<void> {
    if (items.length === 0) return;
    let summary: CommitSummary | undefined;
    try {
      summary = await this.untilDone(() =>
        this.repository.write(batchOf(items.map(({ parts }) => parts)), versionOf(items)),
      );
    } catch (error) {
      if (error instanceof RegistryChangedError) return this.storeReadAgain(items);
      await this.storeParted(items, error as Error);
      return;
    }
    // Undefined: stopped before the database came back. The broker keeps the messages.
    if (summary) this.committed(items, summary);
  }

  /** The registry was changed between reading and storing: read once more by what it says now. */
  private async storeReadAgain(items: ReadMessage[]): Promise<void> {
    await this.untilDone(() => this.directory.refresh());
    await this.store(await this.read(items.map(({ message }) => message)));
  }

  /**
   * Something in the batch is refused, by the database or by an error of ours: the batch is parted until the message
   * that brings it is alone. This one is kept as unread, the others go in.
   */
  private async storeParted(items: ReadMessage[], cause: Error): Promise<void> {
    if (items.length > 1) {
      const half = items.length >> 1;
      await this.store(items.slice(0, half));
      await this.store(items.slice(half));
      return;
    }
    const [{ message }] = items;
    this.say('error', `A message on ${message.topic} cannot be stored: ${cause.message}`);
    const unread = this.notStorable(message, cause);
    try {
      const summary = await this.untilDone(() =>
        this.repository.write({ ...emptyBatch(), unread: [unread] }),
      );
      if (summary) this.committed(items, summary);
    } catch (error) {
      // Kept back, it would come again for ever and stop what comes after it.
      this.say('error', `It cannot be kept among the unread either: ${(error as Error).message}`);
      message.acknowledge();
    }
  }

  private notStorable(message: HeldMessage, cause: Error): UnreadRow {
    return unreadRow(message, {
      reason: 'not-storable',
      detail: `The database rejects it: ${cause.message}`,
    });
  }

  private committed(items: ReadMessage[], summary: CommitSummary): void {
    for (const { message } of items) message.acknowledge();
    this.counters.messages += items.length;
    this.counters.rows += summary.rows;
    this.counters.unread += summary.unread;
    this.counters.lastCommitAt = new Date();
    this.meter.add(summary.rows);
    try {
      this.options.onCommitted?.(summary);
    } catch (error) {
      this.say('error', `After a commit: ${(error as Error).message}`);
    }
  }

  /** Repeats work while the database is away; gives up only when stopped. What would fail again is thrown. */
  private async untilDone<Result>(work: () => Promise<Result>): Promise<Result | undefined> {
    for (let pause_ms = 250; ; pause_ms = Math.min(pause_ms * 2, 5_000)) {
      try {
        const result = await work();
        if (this.counters.waiting) this.say('info', 'The database is back; storing continues.');
        this.counters.waiting = false;
        return result;
      } catch (error) {
        if (!mayPass(error)) throw error;
        if (!this.counters.waiting) {
          this.say('warn', `Waiting for the database before storing more: ${(error as Error).message}`);
        }
        this.counters.waiting = true;
        if (this.stopping.signal.aborted) return undefined;
        await delay(pause_ms, undefined, { signal: this.stopping.signal }).catch(() => {});
      }
    }
  }

  private waitingReader(): WaitingReader {
    return new WaitingReader({
      heard: this.heard,
      read: async (message) => {
        const limits = { ...this.readLimits, oldest_s: this.oldest_s() };
        const parts = await readMessage(message, this.directory, limits, this.relativeTimes);
        return { message, parts, version: this.directory.version };
      },
      store: async (items) => {
        const batch = batchOf(items.map(({ parts }) => parts));
        this.committed(items, await this.repository.write(batch, versionOf(items)));
      },
    });
  }

  /** What was kept of senders that were not registered then; what cannot be read in now is left for the next time. */
  private async readWaiting(): Promise<void> {
    try {
      const count = await this.waiting.look();
      if (count > 0)
        this.say('info', `Read in ${count} messages that came before their unit was registered.`);
    } catch (error) {
      this.say(
        'warn',
        `Messages of newly registered units could not be read in yet: ${(error as Error).message}`,
      );
      setTimeout(() => void this.readWaiting(), 5_000).unref();
    }
  }

  /** What stored batches counted goes into the hours of their units; what is left by an ended process too. */
  private fold(): Promise<void> {
    this.folding ??= this.deliveries
      .fold()
      .then(
        () => {},
        (error: Error) =>
          this.say('warn', `What came could not be counted by the hour yet: ${error.message}`),
      )
      .finally(() => (this.folding = null));
    return this.folding;
  }

  private oldest_s(): number {
    const days = this.options.retention?.readings_days;
    return days ? Date.now() / 1000 - days * 86_400 : 0;
  }

  private async dropOld(): Promise<void> {
    if (!this.options.retention) return;
    try {
      await this.heard.dropOlder(heardKept_days);
      const dropped = await applyRetention(this.database.pool, this.options.retention);
      if (dropped.length > 0)
        this.say('info', `Deleted data older than its retention: ${dropped.join(', ')}.`);
    } catch (error) {
      this.say('warn', `Could not delete old telemetry: ${(error as Error).message}`);
    }
  }

  private say(level: 'info' | 'warn' | 'error', line: string): void {
    this.options.log?.(level, line);
  }
}

/** The oldest: where a message was read before a change, all are read again. Without readings it does not matter. */
const versionOf = (items: ReadMessage[]): number | undefined =>
  items.some(({ parts }) => parts.readings !== undefined)
    ? Math.min(...items.map(({ version }) => version))
    : undefined;
