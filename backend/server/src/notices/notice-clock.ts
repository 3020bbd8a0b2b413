import type { Database } from '../storage/index.js';
import type { NewMessage, OutboxRepository } from '../storage/notices/outbox.repository.js';
import type { ToldRepository } from '../storage/notices/told.repository.js';
import type { AttentionRepository } from '../storage/repositories/findings/attention.repository.js';
import { alertMessage } from './digest/digest-words.js';
import type { DigestWriter } from './digest/digest-writer.js';
import type { ProblemReader } from './unit-problems.js';
import { eventOf, unitEvent } from './webhooks/event.js';
import type { Measures } from './wish.js';

export interface NoticeParts {
  database: Database;
  told: ToldRepository;
  outbox: OutboxRepository;
  problems: ProblemReader;
  digests: DigestWriter;
  attention: Pick<AttentionRepository, 'state'>;
  /** False: no mail server is set, so nothing is written to anybody. */
  withMail: boolean;
  /** Called when something was put into the outbox. */
  written: () => void;
  failed: (error: unknown) => void;
}

const look_ms = 15_000;
/** Without a change of the round only clocks can make something due: quiet hours that end, a day that is over. */
const lookAnyway_ms = 60_000;

/**
 * Writes what there is to tell into the outbox: the difference between what is so and what each recipient was last told. As it
 * starts from what is so, nothing is lost while no process runs, and what was over before it could be told is not told.
 */
export class NoticeClock {
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private looked = { version: -1, at_ms: -Infinity };

  constructor(
    private readonly parts: NoticeParts,
    private readonly now: () => Date = () => new Date(),
  ) {}

  start(): void {
    const look = () => {
      this.running = this.running.then(() => this.tick()).catch((error: unknown) => this.parts.failed(error));
    };
    this.timer = setInterval(look, look_ms).unref();
    look();
  }

  async stop(): Promise<void> {
    clearInterval(this.timer);
    await this.running;
  }

  async tick(now = this.now()): Promise<void> {
    const changes = await this.tellChanges(now);
    const digests = this.parts.withMail ? await this.parts.digests.writeDue(now) : 0;
    if (changes + digests > 0) this.parts.written();
  }

  /** Alerts and events, with what is noted of them in one transaction. */
  private async tellChanges(now: Date): Promise<number> {
    const { database, told, outbox, problems, attention, withMail } = this.parts;
    const { version } = await attention.state();
    if (version === this.looked.version && now.getTime() - this.looked.at_ms < lookAnyway_ms) return 0;
    const written = await database.transaction(async (client) => {
      if (!(await told.mayTell(client))) return 0;
      await told.forgetAlerts(now, client);
      const alerts = withMail ? await told.takeAlerts(now, client) : [];
      const events = await told.takeEvents(now, client);
      const wanted = events.filter(({ events: names, before, now }) => names.includes(eventOf(before, now)));
      const of = await problems.of(
        [...alerts, ...wanted].map(({ unitId }) => unitId),
        client,
      );
      const messages: NewMessage[] = [];
      for (const personId of new Set(alerts.map((alert) => alert.personId))) {
        const own = alerts.filter((alert) => alert.personId === personId);
        const units = own.flatMap(({ unitId }) => of.get(unitId) ?? []);
        const reader = { measures: own[0].measures as Measures, timeZone: 'UTC' };
        if (units.length > 0)
          messages.push({ kind: 'alert', personId, document: alertMessage(units, reader) });
      }
      for (const event of wanted) {
        const unit = of.get(event.unitId);
        if (unit !== undefined)
          messages.push({ kind: 'event', webhookId: event.webhookId, document: unitEvent(event, unit, now) });
      }
      await outbox.add(messages, client);
      return messages.length;
    });
    this.looked = { version, at_ms: now.getTime() };
    return written;
  }
}
