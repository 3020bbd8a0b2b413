import { BadEntryError } from '../../people/bad-entry.js';
import type { Identity } from '../../people/identity.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { Database } from '../../storage/index.js';
import type { OutboxRepository } from '../../storage/notices/outbox.repository.js';
import type { ToldRepository } from '../../storage/notices/told.repository.js';
import type { WebhookRepository, WebhookRow } from '../../storage/notices/webhook.repository.js';
import type { AuditRepository } from '../../storage/people/audit.repository.js';
import { messageView } from '../notice.service.js';
import { objectionToAddress } from './call-webhook.js';
import { testEvent, type WebhookEvent } from './event.js';
import { newWebhookSecret } from './signature.js';

export interface WebhookParts {
  database: Database;
  webhooks: WebhookRepository;
  told: ToldRepository;
  outbox: OutboxRepository;
  audit: AuditRepository;
  allowPrivate: boolean;
  hosts: readonly string[] | null;
  /** Called when something was put into the outbox. */
  written: () => void;
}

export interface WebhookWish {
  name: string;
  address: string;
  events: WebhookEvent[];
}

const shownDeliveries = 20;

/** For administrators: programs elsewhere that are told of changes. */
export class WebhookService {
  constructor(private readonly parts: WebhookParts) {}

  async list() {
    return { webhooks: (await this.parts.webhooks.all()).map(webhookView) };
  }

  /** The secret is returned here and never again. */
  async make(who: Identity, wish: WebhookWish) {
    const { database, webhooks, told } = this.parts;
    this.check(wish);
    const secret = newWebhookSecret();
    const webhook = await database.transaction(async (client) => {
      const made = await webhooks.add(wish, secret, client);
      await told.startFromNow(made.id, client);
      await this.note(who, 'made a webhook', made, client);
      return made;
    });
    return { webhook: webhookView(webhook), secret };
  }

  async change(who: Identity, id: number, wish: WebhookWish & { active: boolean }) {
    const { database, webhooks, told } = this.parts;
    this.check(wish);
    return database.transaction(async (client) => {
      const before = await webhooks.one(id, client);
      if (before === null) throw unknown();
      await webhooks.change(id, wish, client);
      if (wish.active && !before.active) await told.startFromNow(id, client);
      await this.note(who, 'changed a webhook', { ...before, ...wish }, client);
      return webhookView({ ...before, ...wish });
    });
  }

  /** Another secret; what is sent from now on is signed with it alone. */
  async newSecret(who: Identity, id: number) {
    const { database, webhooks } = this.parts;
    const secret = newWebhookSecret();
    return database.transaction(async (client) => {
      const webhook = await webhooks.one(id, client);
      if (webhook === null) throw unknown();
      await webhooks.setSecret(id, secret, client);
      await this.note(who, 'made a new secret of a webhook', webhook, client);
      return { webhook: webhookView(webhook), secret };
    });
  }

  async remove(who: Identity, id: number): Promise<void> {
    const { database, webhooks } = this.parts;
    await database.transaction(async (client) => {
      const webhook = await webhooks.one(id, client);
      if (webhook === null) throw unknown();
      await webhooks.remove(id, client);
      await this.note(who, 'removed a webhook', webhook, client);
    });
  }

  /** Puts a test into the outbox, so that it goes the way of every other message. */
  async test(id: number) {
    const { webhooks, outbox } = this.parts;
    const webhook = await webhooks.one(id);
    if (webhook === null) throw unknown();
    await outbox.add([{ kind: 'test', webhookId: id, document: testEvent(webhook.name, new Date()) }]);
    this.parts.written();
    return this.deliveries(id);
  }

  /** The newest messages to a webhook. */
  async deliveries(id: number) {
    return {
      deliveries: (await this.parts.outbox.newestTo({ webhookId: id }, shownDeliveries)).map(messageView),
    };
  }

  private check({ address }: WebhookWish): void {
    const reason = objectionToAddress(address, this.parts.allowPrivate, this.parts.hosts);
    if (reason !== null) throw new BadEntryError([{ name: 'address', reason }]);
  }

  private note(
    { personId, name }: Identity,
    action: string,
    webhook: WebhookRow,
    client: Parameters<AuditRepository['add']>[1],
  ): Promise<void> {
    const { name: subject, address, events, active } = webhook;
    return this.parts.audit.add(
      { personId, who: name, action, subject, detail: { id: webhook.id, address, events, active } },
      client,
    );
  }
}

const unknown = () => new NotKnownError('There is no such webhook.');

const webhookView = ({ id, name, address, events, active, madeAt }: WebhookRow) => ({
  ...{ id, name, address, active },
  events: events as WebhookEvent[],
  madeAt: madeAt.toISOString(),
});
