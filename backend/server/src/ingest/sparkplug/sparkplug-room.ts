import type { EdgeNodeLimits } from '@coldrounds/core/sparkplug';
import { SessionLock, type Database } from '../../storage/index.js';
import type { HeldMessage } from '../receiving/acknowledging-client.js';
import { SparkplugConnection, type SparkplugConnectionOptions } from './sparkplug-connection.js';
import { isSparkplug, SparkplugReader } from './sparkplug-reader.js';

export interface SparkplugRoomOptions extends SparkplugConnectionOptions {
  limits?: EdgeNodeLimits;
  /** Several ingesters share the work: one of them at a time takes all of Sparkplug. */
  shared: boolean;
  /** Into the queue of what is to be read and stored. */
  put: (message: HeldMessage) => Promise<void> | null;
  say: (level: 'info' | 'warn', line: string) => void;
}

/**
 * Sparkplug's own way into the queue. Sequence numbers and aliases need all messages of an edge node in one place, so of
 * several ingesters one takes them, the one that holds a lock of the database; SenML they go on sharing.
 */
export class SparkplugRoom {
  readonly reader: SparkplugReader;
  private connection: SparkplugConnection | null = null;
  private readonly lock: SessionLock | null;
  private timer: NodeJS.Timeout | undefined;
  private timerAt_ms: number | null = null;

  constructor(
    pool: Database['pool'],
    private readonly options: SparkplugRoomOptions,
  ) {
    this.reader = new SparkplugReader({
      limits: options.limits,
      requestRebirth: (node) => this.connection?.requestRebirth(node),
      say: (line) => options.say('info', line),
    });
    this.lock = options.shared
      ? new SessionLock(pool, 'sparkplug', {
          onHeld: () => this.connect(),
          onLost: () => this.disconnect(),
        })
      : null;
  }

  start(): void {
    if (this.lock) this.lock.start();
    else this.connect();
  }

  async stop(): Promise<void> {
    clearTimeout(this.timer);
    await this.lock?.stop();
    await this.disconnect();
  }

  /** What can be read now that a message has come: itself, what waited for it, or nothing while it waits itself. */
  inTurn(message: HeldMessage, maximumPayload: number): HeldMessage[] {
    if (!isSparkplug(message)) return [message];
    const ready = this.reader.take(message, maximumPayload);
    this.watch();
    return ready;
  }

  private connect(): void {
    const { say, put } = this.options;
    this.connection = new SparkplugConnection(this.options, {
      onMessage: put,
      onState: ({ connected, detail }) => say(connected ? 'info' : 'warn', `Sparkplug: ${detail}`),
    });
    this.connection.start();
  }

  private async disconnect(): Promise<void> {
    const { connection } = this;
    this.connection = null;
    await connection?.stop();
  }

  /** Has messages that wait for a missing one read when they have waited long enough. */
  private watch(): void {
    const { dueAt_ms } = this.reader;
    if (dueAt_ms === this.timerAt_ms) return;
    clearTimeout(this.timer);
    this.timerAt_ms = dueAt_ms;
    if (dueAt_ms === null) return;
    this.timer = setTimeout(
      () => {
        this.timerAt_ms = null;
        for (const message of this.reader.expire(Date.now())) void this.options.put(message);
        this.watch();
      },
      Math.max(20, dueAt_ms - Date.now()),
    ).unref();
  }
}
