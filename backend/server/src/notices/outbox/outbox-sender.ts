import type { OutboxRepository, TakenMessage } from '../../storage/notices/outbox.repository.js';
import { WakeableLoop } from '../../background/wakeable-loop.js';
import { RefusedForGoodError, waitAfter_s } from './back-off.js';

export interface SenderParts {
  outbox: OutboxRepository;
  /** Null: no mail server is set; messages to people wait. */
  sendMail: ((email: string, message: TakenMessage) => Promise<void>) | null;
  callWebhook: (webhook: NonNullable<TakenMessage['webhook']>, message: TakenMessage) => Promise<void>;
  /** Called with what kept the sender itself from its work. */
  failed: (error: unknown) => void;
}

const look_ms = 2_000;
/** Longer than sending may take: after it a message counts as left behind by a process that ended. */
const lease_s = 120;
const atOnce = 20;
/** To one webhook. */
const each = 3;
const tidyEach_ms = 3_600_000;
const kept = { useless_s: 2 * 86_400, sent_s: 30 * 86_400, dead_s: 90 * 86_400 };

/**
 * Sends what is in the outbox. Any number of processes may run one. A message is sent at least once: one that was taken by
 * the other side just before a crash is sent again, with the same number.
 */
export class OutboxSender {
  private readonly loop: WakeableLoop;
  private tidied_ms = -Infinity;

  constructor(private readonly parts: SenderParts) {
    this.loop = new WakeableLoop(() => this.sendDue(), look_ms, parts.failed);
  }

  start(): void {
    this.loop.start();
  }

  /** Something was put in: looks at once, where it is not at it already. */
  wake(): void {
    this.loop.wake();
  }

  stop(): Promise<void> {
    return this.loop.stop();
  }

  /** Sends until nothing is due. Mail and webhooks go side by side, so that neither waits for the other. */
  async sendDue(): Promise<void> {
    if (Date.now() - this.tidied_ms > tidyEach_ms) {
      this.tidied_ms = Date.now();
      await this.parts.outbox.tidy(kept);
    }
    await Promise.all([
      this.parts.sendMail === null ? undefined : this.sendAll('people'),
      this.sendAll('webhooks'),
    ]);
  }

  private async sendAll(to: 'people' | 'webhooks'): Promise<void> {
    for (;;) {
      const taken = await this.parts.outbox.take(to, { limit: atOnce, each, lease_s });
      await Promise.all(taken.map((message) => this.send(message)));
      if (taken.length === 0 || this.loop.stopped) return;
    }
  }

  private async send(message: TakenMessage): Promise<void> {
    const { outbox, sendMail, callWebhook } = this.parts;
    try {
      if (message.webhook !== null) await callWebhook(message.webhook, message);
      else if (message.email !== null && sendMail !== null) await sendMail(message.email, message);
      else throw new RefusedForGoodError('The person has no e-mail address.');
    } catch (error) {
      const wait_s = error instanceof RefusedForGoodError ? null : waitAfter_s(message.attempts);
      await outbox.failed(message.id, wordsOf(error), wait_s);
      return;
    }
    await outbox.sent(message.id);
  }
}

/** Of a connection to several addresses at once only the code says what was wrong. */
const wordsOf = (error: unknown): string => {
  const { message, code } = error as { message?: string; code?: string };
  return (message || code || String(error)).slice(0, 300);
};
