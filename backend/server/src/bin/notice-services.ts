import type { Provider } from '@nestjs/common';
import type { Logger } from 'pino';
import type { Config } from '../config/index.js';
import type { DeferralReader } from '../decisions/deferral.js';
import { DigestWriter } from '../notices/digest/digest-writer.js';
import { Mailer } from '../notices/mail/mailer.js';
import type { MailMessage } from '../notices/mail/message.js';
import { NoticeClock } from '../notices/notice-clock.js';
import { NoticeService } from '../notices/notice.service.js';
import { OutboxSender } from '../notices/outbox/outbox-sender.js';
import { ProblemReader } from '../notices/unit-problems.js';
import { callWebhook } from '../notices/webhooks/call-webhook.js';
import { WebhookService } from '../notices/webhooks/webhook.service.js';
import type { Database } from '../storage/index.js';
import type { DecisionRepository } from '../storage/decisions/decision.repository.js';
import { OutboxRepository } from '../storage/notices/outbox.repository.js';
import { ToldRepository } from '../storage/notices/told.repository.js';
import { WebhookRepository } from '../storage/notices/webhook.repository.js';
import { WishRepository } from '../storage/notices/wish.repository.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import type { PersonRepository } from '../storage/people/person.repository.js';
import type { AttentionRepository } from '../storage/repositories/findings/attention.repository.js';
import type { ChangeRepository } from '../storage/repositories/findings/change.repository.js';
import type { DiagnosisRepository } from '../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../storage/repositories/fleet.repository.js';

export interface NoticeRepositories {
  database: Database;
  attention: AttentionRepository;
  changes: ChangeRepository;
  decisions: DecisionRepository;
  deferrals: DeferralReader;
  diagnoses: DiagnosisRepository;
  findings: FindingRepository;
  registry: FleetRepository;
  people: PersonRepository;
  audit: AuditRepository;
}

type NoticeConfig = Pick<Config, 'mail' | 'webhooksToPrivate' | 'webhookHosts' | 'publicUrl' | 'port'>;

/** Word that goes out, put together. */
export function createNotices(config: NoticeConfig, parts: NoticeRepositories, logger: Logger) {
  const { database } = parts;
  const outbox = new OutboxRepository(database);
  const told = new ToldRepository();
  const wishes = new WishRepository(database);
  const problems = new ProblemReader(parts);
  const address = (config.publicUrl ?? `http://localhost:${config.port}`).replace(/\/$/, '');
  const mailer = config.mail === null ? null : new Mailer(config.mail, address);
  const failed = (what: string) => (error: unknown) => logger.warn({ err: error }, what);
  const sender = new OutboxSender({
    outbox,
    sendMail: mailer && ((email, { id, document }) => mailer.send(email, id, document as MailMessage)),
    callWebhook: (webhook, { id, document }) =>
      callWebhook(
        webhook,
        { id: `coldrounds-${id}`, body: JSON.stringify(document) },
        { allowPrivate: config.webhooksToPrivate, hosts: config.webhookHosts },
      ),
    failed: failed('messages could not be sent'),
  });
  const written = () => sender.wake();
  const clock = new NoticeClock({
    ...{ ...parts, told, outbox, problems, written },
    digests: new DigestWriter({ ...parts, wishes, outbox, problems }),
    withMail: mailer !== null,
    failed: failed('what there is to tell could not be written'),
  });
  const mail = mailer && { config: mailer.config, check: () => mailer.check() };
  const webhooks = new WebhookRepository(database);
  const providers: Provider[] = [
    { provide: NoticeService, useValue: new NoticeService({ ...parts, wishes, outbox, mail, written }) },
    {
      provide: WebhookService,
      useValue: new WebhookService({
        ...{ ...parts, webhooks, told, outbox, written },
        allowPrivate: config.webhooksToPrivate,
        hosts: config.webhookHosts,
      }),
    },
  ];
  return {
    ...{ providers, outbox, clock, sender },
    start: () => {
      clock.start();
      sender.start();
    },
    stop: async () => {
      await clock.stop();
      await sender.stop();
      mailer?.close();
    },
  };
}
