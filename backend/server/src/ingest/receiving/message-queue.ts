import type { HeldMessage } from './acknowledging-client.js';

export interface QueueLimits {
  /** Payload bytes held in memory before the connection is no longer read. */
  maximumBytes: number;
  maximumMessages: number;
  /** A batch is closed when it has this much, … */
  batchBytes: number;
  batchMessages: number;
  /** … when nothing more came for this long, … */
  quiet_ms: number;
  /** … and at the latest after this long. */
  maximumWait_ms: number;
}

export const defaultQueueLimits: QueueLimits = {
  maximumBytes: 48 * 1024 * 1024,
  maximumMessages: 2_000,
  batchBytes: 4 * 1024 * 1024,
  batchMessages: 1_000,
  quiet_ms: 15,
  maximumWait_ms: 200,
};

/**
 * Messages that wait to be stored: bounded, in the order of arrival, taken out in batches. What a lost connection
 * brought stays: a broker that was killed may not know of it any more, and one that sends it again changes nothing.
 */
export class MessageQueue {
  private messages: HeldMessage[] = [];
  private bytes = 0;
  private room: (() => void)[] = [];
  private arrival: (() => void) | null = null;

  constructor(private readonly limits: QueueLimits) {}

  get depth(): number {
    return this.messages.length;
  }

  get heldBytes(): number {
    return this.bytes;
  }

  get oldest_ms(): number | null {
    return this.messages[0]?.receivedAt_ms ?? null;
  }

  /** Null while there is room; when full, a promise of room. The message is taken either way. */
  put(message: HeldMessage): Promise<void> | null {
    this.messages.push(message);
    this.bytes += message.payload.length;
    this.arrival?.();
    if (this.bytes < this.limits.maximumBytes && this.messages.length < this.limits.maximumMessages)
      return null;
    return new Promise((resolve) => this.room.push(resolve));
  }

  /** The next batch; an empty one when `stop` is signalled first. */
  async take(stop: AbortSignal): Promise<HeldMessage[]> {
    const { batchBytes, batchMessages, quiet_ms, maximumWait_ms } = this.limits;
    while (this.messages.length === 0 && !stop.aborted) await this.wait(60_000, stop);
    const deadline = Date.now() + maximumWait_ms;
    let count = -1;
    while (
      !stop.aborted &&
      this.messages.length > count &&
      this.messages.length < batchMessages &&
      this.bytes < batchBytes &&
      Date.now() < deadline
    ) {
      count = this.messages.length;
      await this.wait(quiet_ms, stop);
    }
    if (stop.aborted) return [];
    let length = 0;
    let taken = 0;
    while (length < this.messages.length && length < batchMessages && (length === 0 || taken < batchBytes)) {
      taken += this.messages[length++].payload.length;
    }
    const batch = this.messages.splice(0, length);
    this.bytes -= taken;
    this.makeRoom();
    return batch;
  }

  private makeRoom(): void {
    if (this.bytes >= this.limits.maximumBytes || this.messages.length >= this.limits.maximumMessages) return;
    for (const resolve of this.room.splice(0)) resolve();
  }

  private wait(longest_ms: number, stop: AbortSignal): Promise<void> {
    return new Promise((resolve) => {
      const done = () => {
        clearTimeout(timer);
        stop.removeEventListener('abort', done);
        this.arrival = null;
        resolve();
      };
      const timer = setTimeout(done, longest_ms);
      stop.addEventListener('abort', done);
      this.arrival = done;
    });
  }
}
