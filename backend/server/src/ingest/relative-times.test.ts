import { describe, expect, it } from 'vitest';
import type { HeldMessage } from './receiving/acknowledging-client.js';
import { RelativeTimes } from './relative-times.js';

const message = (receivedAt_ms: number, more: Partial<HeldMessage> = {}): HeldMessage => ({
  topic: 't',
  payload: Buffer.from('[{"n":"voltage","v":15}]'),
  receivedAt_ms,
  delivery: 'ingest:7',
  mayBeRedelivered: false,
  connectedAt_ms: 0,
  acknowledge: () => {},
  ...more,
});

describe('times that count from the arrival of a pack', () => {
  it('are those of the first delivery, also where that waits to be stored when the broker sends it again', async () => {
    const times = new RelativeTimes(async () => null);
    expect((await times.resolve(message(1_000))).now_ms).toBe(1_000);
    const again = message(60_000, { mayBeRedelivered: true, connectedAt_ms: 50_000 });
    expect((await times.resolve(again)).now_ms).toBe(1_000);
  });

  it('are those of a pack of its own where the packet identifier was used before for another', async () => {
    const times = new RelativeTimes(async () => null);
    await times.resolve(message(1_000));
    const other = { mayBeRedelivered: true, connectedAt_ms: 50_000, payload: Buffer.from('[]') };
    expect((await times.resolve(message(60_000, other))).now_ms).toBe(60_000);
    // The same bytes again over the same connection are the next sample.
    const next = { mayBeRedelivered: true, connectedAt_ms: 50_000, payload: Buffer.from('[]') };
    expect((await times.resolve(message(70_000, next))).now_ms).toBe(70_000);
  });

  it('are those that the store knows, after a restart', async () => {
    const times = new RelativeTimes(async () => 5_000);
    const again = message(60_000, { mayBeRedelivered: true, connectedAt_ms: 50_000 });
    expect((await times.resolve(again)).now_ms).toBe(5_000);
  });
});
