import { createHash } from 'node:crypto';
import type { RelativePackRow } from '../storage/incoming/ingest-batch.js';
import type { HeldMessage } from './receiving/acknowledging-client.js';

/** The same bytes on the same topic within this long are one pack sent twice: samples come seldomer. */
const repeatWithin_ms = 2_000;
const remembered = 20_000;

/**
 * SenML lets a pack count its times from the moment of its arrival (RFC 8428 section 4.5.3). Delivered twice it would then
 * make two rows, so a repeat takes the moment of the first: one that the broker sends again, by its delivery, which the
 * store remembers over a restart; one that its sender sent twice, by its bytes.
 */
export class RelativeTimes {
  private readonly recent = new Map<string, { resolved_ms: number; seen_ms: number }>();
  /** What each delivery brought last: it may not be stored yet when the broker sends it again. */
  private readonly delivered = new Map<string, { key: string; resolved_ms: number; seen_ms: number }>();

  constructor(
    /** The moment that the store has for a delivery, where it is the same pack; null where it has none. */
    private readonly stored: (delivery: string, digest: Buffer, before_ms: number) => Promise<number | null>,
  ) {}

  async resolve(message: HeldMessage): Promise<{ now_ms: number; keep: RelativePackRow | null }> {
    const digest = createHash('sha256').update(message.topic).update('\0').update(message.payload).digest();
    const { delivery, receivedAt_ms } = message;
    const key = digest.toString('base64');
    let now_ms: number | null = null;
    if (delivery !== null && message.mayBeRedelivered) {
      const last = this.delivered.get(delivery);
      if (last === undefined) now_ms = await this.stored(delivery, digest, message.connectedAt_ms);
      else if (last.key === key && last.seen_ms < message.connectedAt_ms) now_ms = last.resolved_ms;
    }
    const before = this.recent.get(key);
    if (now_ms === null && before !== undefined && receivedAt_ms - before.seen_ms <= repeatWithin_ms)
      now_ms = before.resolved_ms;
    now_ms ??= receivedAt_ms;
    this.remember(key, { resolved_ms: now_ms, seen_ms: receivedAt_ms });
    // As many as there are packet identifiers.
    if (delivery !== null) this.delivered.set(delivery, { key, resolved_ms: now_ms, seen_ms: receivedAt_ms });
    return { now_ms, keep: delivery === null ? null : { delivery, digest, resolved_ms: now_ms } };
  }

  private remember(key: string, entry: { resolved_ms: number; seen_ms: number }): void {
    this.recent.delete(key);
    this.recent.set(key, entry);
    if (this.recent.size <= remembered) return;
    for (const [oldest] of this.recent) {
      this.recent.delete(oldest);
      break;
    }
  }
}
