import { describe, expect, it } from 'vitest';
import type { HeldMessage } from './acknowledging-client.js';
import { defaultQueueLimits, MessageQueue } from './message-queue.js';
import { RateMeter } from '../rate-meter.js';

const message = (bytes: number): HeldMessage => ({
  topic: 't',
  payload: Buffer.alloc(bytes),
  receivedAt_ms: 0,
  delivery: 'c:1',
  mayBeRedelivered: false,
  connectedAt_ms: 0,
  acknowledge: () => {},
});
const never = new AbortController().signal;

describe('the queue of messages', () => {
  it('is full at its bytes, and has room again when a batch is taken', async () => {
    const queue = new MessageQueue({ ...defaultQueueLimits, maximumBytes: 100 });
    expect(queue.put(message(60))).toBeNull();
    const full = queue.put(message(60));
    expect(full).not.toBeNull();
    expect(await queue.take(never)).toHaveLength(2);
    await full;
    expect(queue.heldBytes).toBe(0);
  });

  it('is full at its number of messages', () => {
    const queue = new MessageQueue({ ...defaultQueueLimits, maximumMessages: 2 });
    expect(queue.put(message(1))).toBeNull();
    expect(queue.put(message(1))).not.toBeNull();
  });

  it('gives batches in the order of arrival, bounded by bytes but never empty', async () => {
    const queue = new MessageQueue({ ...defaultQueueLimits, batchBytes: 100 });
    for (const bytes of [300, 50, 60, 10]) void queue.put(message(bytes));
    const batches = [await queue.take(never), await queue.take(never), await queue.take(never)];
    expect(batches.map((batch) => batch.map((entry) => entry.payload.length))).toEqual([
      [300],
      [50, 60],
      [10],
    ]);
  });

  it('waits for a first message and gathers those that follow closely', async () => {
    const queue = new MessageQueue({ ...defaultQueueLimits, quiet_ms: 50, maximumWait_ms: 1_000 });
    const batch = queue.take(never);
    void queue.put(message(1));
    setTimeout(() => void queue.put(message(1)), 10);
    expect(await batch).toHaveLength(2);
  });

  it('gives an empty batch when stopped', async () => {
    const stop = new AbortController();
    const batch = new MessageQueue(defaultQueueLimits).take(stop.signal);
    stop.abort();
    expect(await batch).toEqual([]);
  });
});

describe('the rate meter', () => {
  it('counts the last span only', () => {
    let now = 0;
    const meter = new RateMeter(10_000, () => now);
    meter.add(500);
    now = 5_000;
    meter.add(500);
    expect(meter.perSecond()).toBe(100);
    now = 12_000;
    expect(meter.perSecond()).toBe(50);
    now = 60_000;
    expect(meter.perSecond()).toBe(0);
  });
});
