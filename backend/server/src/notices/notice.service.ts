import { BadEntryError } from '../people/bad-entry.js';
import { NotAllowedError, personOf, type Identity } from '../people/identity.js';
import { NotKnownError } from '../registry/fleet.service.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import type { PersonRepository } from '../storage/people/person.repository.js';
import type { OutboxRepository, OutboxRow } from '../storage/notices/outbox.repository.js';
import type { WishRepository, WishRow } from '../storage/notices/wish.repository.js';
import type { MailConfig } from '../config/index.js';
import { testMessage } from './digest/digest-words.js';
import { subjectOf, type MailMessage } from './mail/message.js';
import type { MailCheck } from './mail/mailer.js';
import { isTimeZone } from '../registry/registry-document.js';
import { nothingWished, type Measures, type NoticeWish } from './wish.js';

export interface NoticeServiceParts {
  wishes: WishRepository;
  outbox: OutboxRepository;
  people: Pick<PersonRepository, 'byId'>;
  audit: AuditRepository;
  /** Null: no mail server is set. */
  mail: { config: MailConfig; check: () => Promise<MailCheck> } | null;
  /** Called when something was put into the outbox. */
  written: () => void;
}

const shownMessages = 10;
const shownDead = 200;

/** What each person wants to be told, and what became of it. */
export class NoticeService {
  constructor(
    private readonly parts: NoticeServiceParts,
    private readonly now: () => Date = () => new Date(),
  ) {}

  async own(who: Identity) {
    const { wishes, outbox, people, mail } = this.parts;
    const personId = personOf(who);
    const [wish, person, newest] = await Promise.all([
      wishes.of(personId),
      people.byId(personId),
      outbox.newestTo({ personId }, shownMessages),
    ]);
    return {
      email: person?.email ?? null,
      mailServer: mail !== null,
      wish: wish === null ? nothingWished : wishOf(wish),
      messages: newest.map(messageView),
    };
  }

  async keep(who: Identity, wish: NoticeWish) {
    const personId = this.inPerson(who);
    if (!isTimeZone(wish.timeZone))
      throw new BadEntryError([{ name: 'timeZone', reason: 'is not a time zone, such as Europe/Lisbon' }]);
    await this.parts.wishes.keep(
      personId,
      {
        ...wish,
        digestDays: [...new Set(wish.digestDays)].sort((a, b) => a - b),
        quietFrom: wish.quiet?.from ?? null,
        quietUntil: wish.quiet?.until ?? null,
      },
      this.now(),
    );
    return this.own(who);
  }

  /** Puts a test into the outbox, so that it goes the way of every other message. */
  async test(who: Identity) {
    const personId = this.inPerson(who);
    const { outbox, people, mail } = this.parts;
    if (mail === null)
      throw new BadEntryError([{ name: 'mail', reason: 'is off: no mail server is set on this server' }]);
    if ((await people.byId(personId))?.email == null)
      throw new BadEntryError([{ name: 'email', reason: 'is missing: this account has no e-mail address' }]);
    await outbox.add([{ kind: 'test', personId, document: testMessage(who.name) }]);
    this.parts.written();
    return this.own(who);
  }

  /** For administrators: the mail server of the settings, and how its messages fare. */
  async mailState() {
    const { outbox, mail } = this.parts;
    const { waiting, dead, lastSent } = await outbox.counts('people');
    return {
      server:
        mail === null
          ? null
          : {
              host: mail.config.host,
              port: mail.config.port,
              tls: mail.config.tls,
              user: mail.config.user ?? null,
              from: mail.config.from,
            },
      waiting,
      dead,
      lastSent: lastSent?.toISOString() ?? null,
    };
  }

  /** Connects to the mail server and signs in there, without sending anything. */
  async checkMail(): Promise<MailCheck> {
    const { mail } = this.parts;
    return mail === null
      ? { ok: false, problem: 'No mail server is set: SMTP_HOST is empty.' }
      : mail.check();
  }

  async deadLetters() {
    return { letters: (await this.parts.outbox.dead(shownDead)).map(messageView) };
  }

  async sendAgain(who: Identity, id: number) {
    if (!(await this.parts.outbox.again(id)))
      throw new NotKnownError('There is no such message that was given up.');
    await this.parts.audit.add({
      ...{ personId: who.personId, who: who.name, action: 'had a message sent again', subject: String(id) },
    });
    this.parts.written();
    return this.deadLetters();
  }

  private inPerson(who: Identity): number {
    if (who.by === 'token')
      throw new NotAllowedError('What a person is told is set by the person, not by an API token.');
    return personOf(who);
  }
}

const wishOf = ({ quietFrom, quietUntil, ...wish }: WishRow): NoticeWish => ({
  ...wish,
  measures: wish.measures as Measures,
  quiet: quietFrom === null || quietUntil === null ? null : { from: quietFrom, until: quietUntil },
});

/** A message of the outbox for a person: what it is about, and what became of it. */
export function messageView({ document, kind, madeAt, dueAt, sentAt, deadAt, ...row }: OutboxRow) {
  const about = kind === 'event' || 'type' in document ? (document as { type: string }).type : null;
  return {
    ...{ id: row.id, kind, to: row.to, attempts: row.attempts, lastError: row.lastError },
    about: about ?? subjectOf(document as MailMessage),
    state:
      sentAt !== null ? ('sent' as const) : deadAt !== null ? ('given-up' as const) : ('waiting' as const),
    madeAt: madeAt.toISOString(),
    endedAt: (sentAt ?? deadAt)?.toISOString() ?? null,
    nextTry: sentAt === null && deadAt === null && row.attempts > 0 ? dueAt.toISOString() : null,
  };
}
