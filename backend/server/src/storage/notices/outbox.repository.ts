import { Database, type Queryable } from '../index.js';

export type OutboxKind = 'digest' | 'alert' | 'test' | 'event';

export interface NewMessage {
  kind: OutboxKind;
  personId?: number;
  webhookId?: number;
  document: object;
}

/** A message that is being sent: nobody else takes it until its lease is over. */
export interface TakenMessage {
  id: number;
  kind: OutboxKind;
  document: object;
  madeAt: Date;
  /** This one counted. */
  attempts: number;
  /** Null: it goes to a webhook. */
  email: string | null;
  webhook: { id: number; address: string; secret: string } | null;
}

export interface OutboxRow {
  id: number;
  kind: OutboxKind;
  document: object;
  /** Name of the person or webhook. */
  to: string;
  madeAt: Date;
  dueAt: Date;
  attempts: number;
  lastError: string | null;
  sentAt: Date | null;
  deadAt: Date | null;
}

export interface OutboxCounts {
  waiting: number;
  dead: number;
  /** When the oldest that waits was made. */
  oldest: Date | null;
  lastSent: Date | null;
}

const columns = `o.id, o.kind, o.document, coalesce(p.name, w.name) as "to", o.made_at as "madeAt", o.due_at as "dueAt",
  o.attempts, o.last_error as "lastError", o.sent_at as "sentAt", o.dead_at as "deadAt"`;
const from = `outbox o left join person p on p.id = o.person_id left join webhook w on w.id = o.webhook_id`;
const waiting = 'o.sent_at is null and o.dead_at is null';

/** What is to be sent, and what became of it. */
export class OutboxRepository {
  constructor(private readonly database: Database) {}

  async add(messages: readonly NewMessage[], by: Queryable = this.database): Promise<void> {
    if (messages.length === 0) return;
    await by.query(
      `insert into outbox (kind, person_id, webhook_id, document)
       select kind, person_id, webhook_id, document::jsonb
         from unnest($1::text[], $2::int[], $3::int[], $4::text[]) with ordinality as m(kind, person_id, webhook_id, document, n)
        order by n`,
      [
        messages.map(({ kind }) => kind),
        messages.map(({ personId }) => personId ?? null),
        messages.map(({ webhookId }) => webhookId ?? null),
        messages.map(({ document }) => JSON.stringify(document)),
      ],
    );
  }

  /**
   * Takes messages that are due and leases them, so that whoever is killed while sending leaves them to another. Of each
   * webhook few at a time, so that one that does not answer keeps no other waiting.
   */
  async take(
    to: 'people' | 'webhooks',
    { limit, each, lease_s }: { limit: number; each: number; lease_s: number },
  ): Promise<TakenMessage[]> {
    const whom = to === 'people' ? 'o.person_id is not null' : 'o.webhook_id is not null';
    const { rows } = await this.database.query<TakenMessage & { webhookId: number | null }>(
      `with ranked as (
         select o.id, row_number() over (partition by o.webhook_id order by o.due_at, o.id) as place, o.due_at
           from outbox o where ${waiting} and ${whom} and o.due_at <= now()),
       chosen as (
         select o.id from outbox o
          where o.id in (select id from ranked where place <= $2 order by due_at, id limit $1)
            and ${waiting} and o.due_at <= now()
            for update skip locked)
       update outbox o set due_at = now() + make_interval(secs => $3), attempts = attempts + 1 from chosen
        where o.id = chosen.id
        returning o.id, o.kind, o.document, o.made_at as "madeAt", o.attempts,
          (select email from person where id = o.person_id) as email,
          (select jsonb_build_object('id', w.id, 'address', w.address, 'secret', w.secret) from webhook w where w.id = o.webhook_id) as webhook`,
      [limit, to === 'people' ? limit : each, lease_s],
    );
    return rows.sort((a, b) => a.id - b.id);
  }

  async sent(id: number): Promise<void> {
    await this.database.query('update outbox set sent_at = now(), last_error = null where id = $1', [id]);
  }

  /** It failed and is tried again after `wait_s`; null: it is given up. */
  async failed(id: number, reason: string, wait_s: number | null): Promise<void> {
    await this.database.query(
      `update outbox set last_error = $2, dead_at = case when $3::float8 is null then now() end,
              due_at = now() + make_interval(secs => coalesce($3::float8, 0)) where id = $1`,
      [id, reason, wait_s],
    );
  }

  /** Tries one that was given up from the start again. */
  async again(id: number): Promise<boolean> {
    const { rowCount } = await this.database.query(
      `update outbox set dead_at = null, attempts = 0, due_at = now(), made_at = now() where id = $1 and dead_at is not null`,
      [id],
    );
    return rowCount === 1;
  }

  /** The newest to a person or a webhook. */
  async newestTo(to: { personId: number } | { webhookId: number }, limit: number): Promise<OutboxRow[]> {
    const [column, id] = 'personId' in to ? ['person_id', to.personId] : ['webhook_id', to.webhookId];
    const { rows } = await this.database.query<OutboxRow>(
      `select ${columns} from ${from} where o.${column} = $1 order by o.id desc limit $2`,
      [id, limit],
    );
    return rows;
  }

  /** What was given up, the newest first. */
  async dead(limit: number): Promise<OutboxRow[]> {
    const { rows } = await this.database.query<OutboxRow>(
      `select ${columns} from ${from} where o.dead_at is not null order by o.dead_at desc, o.id desc limit $1`,
      [limit],
    );
    return rows;
  }

  async counts(to: 'people' | 'webhooks'): Promise<OutboxCounts> {
    const whom = to === 'people' ? 'o.person_id is not null' : 'o.webhook_id is not null';
    const { rows } = await this.database.query<OutboxCounts>(
      `select (count(*) filter (where ${waiting}))::int as waiting, (count(*) filter (where o.dead_at is not null))::int as dead,
              min(o.made_at) filter (where ${waiting}) as oldest, max(o.sent_at) as "lastSent"
         from outbox o where ${whom}`,
    );
    return rows[0];
  }

  /** Gives up what is too old to be of use, and removes what was sent or given up long ago. */
  async tidy({
    useless_s,
    sent_s,
    dead_s,
  }: Record<'useless_s' | 'sent_s' | 'dead_s', number>): Promise<void> {
    await this.database.query(
      `update outbox o set dead_at = now(), last_error = coalesce(last_error || ' ', '') || 'It was too old to be of use.'
        where ${waiting} and made_at < now() - make_interval(secs => $1)`,
      [useless_s],
    );
    await this.database.query(
      `delete from outbox where sent_at < now() - make_interval(secs => $1) or dead_at < now() - make_interval(secs => $2)`,
      [sent_s, dead_s],
    );
  }
}
