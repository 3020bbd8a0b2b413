import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { pino } from 'pino';
import { Webhook } from 'standardwebhooks';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { startServer } from '../../backend/server/src/bin/server-process.js';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { OutboxRepository } from '../../backend/server/src/storage/notices/outbox.repository.js';
import { WishRepository } from '../../backend/server/src/storage/notices/wish.repository.js';
import { type MailServer, startMailServer, textOfMail } from '../support/mail-server.js';
import { startPart } from '../support/parts/process.js';
import { until } from '../support/publish.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { addFinding, addPerson } from '../support/store/people.js';

const silent = pino({ level: 'silent' });
const hour_ms = 3_600_000;
const wish = {
  digestAt: null as string | null,
  digestDays: [1, 2, 3, 4, 5],
  alerts: false,
  quietFrom: null as string | null,
  quietUntil: null as string | null,
  timeZone: 'Europe/Lisbon',
  measures: 'si',
};
type Told = { type: string; timestamp: string; data: Record<string, unknown> };

describe('word that goes out', () => {
  let server: DatabaseServer;
  let url: string;
  let database: Database;
  let mail: MailServer;
  let services: ReturnType<typeof createServices>;
  let hook: Server;
  let hookAddress: string;
  let hookStatus = 204;
  let secret = '';
  const heard: Told[] = [];

  const environment = () => ({
    DATABASE_URL: url,
    ROLES: 'api',
    LOG_LEVEL: 'silent',
    SMTP_HOST: '127.0.0.1',
    SMTP_PORT: String(mail.port),
    SMTP_TLS: 'off',
    SMTP_FROM: 'Coldrounds <rounds@example.org>',
    PUBLIC_URL: 'https://cold.example.org',
    WEBHOOKS_TO_PRIVATE_ADDRESSES: 'on',
  });
  const wishes = () => new WishRepository(database);
  const outbox = () => new OutboxRepository(database);
  /** Brings the round up to date, writes what there is to tell at a moment, and sends it. */
  const live = async (at: Date) => {
    await services.attention.catchUp();
    await services.notices.clock.tick(at);
    await services.notices.sender.sendDue();
  };
  /** Subjects of what has come in since this was last asked. */
  const arrived = () => mail.received.splice(0).map((one) => one.header('subject'));
  const endFinding = async (id: string) => {
    await database.query('update finding set ended_at = now() where id = $1', [id]);
  };
  const emailOf = async (id: number) =>
    (await database.query<{ email: string }>('select email from person where id = $1', [id])).rows[0].email;

  beforeAll(async () => {
    server = await startDatabaseServer();
    url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database, 3);
    await database.query(
      `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
       values ('elsewhere', 'Elsewhere', 0, 40, -8, 'Europe/Lisbon', 'mild')`,
    );
    mail = await startMailServer();
    hook = createServer((request, response) => {
      let body = '';
      request.on('data', (chunk: Buffer) => (body += chunk.toString()));
      request.on('end', () => {
        if (hookStatus < 300)
          heard.push(new Webhook(secret).verify(body, request.headers as Record<string, string>) as Told);
        response.writeHead(hookStatus).end();
      });
    });
    await new Promise<void>((up) => hook.listen(0, '127.0.0.1', () => up()));
    hookAddress = `http://127.0.0.1:${(hook.address() as AddressInfo).port}/told`;
    services = createServices(readConfig(environment()), database, silent, { ready: true, engine: null });
    await services.attention.catchUp();
  });
  afterEach(async () => {
    // Each test begins with a quiet fleet, nobody who wants to be told, and nothing to send.
    await database.query('update finding set ended_at = now() where ended_at is null');
    await services.attention.catchUp();
    for (const table of ['outbox', 'alert_told', 'notice_wish', 'webhook'])
      await database.query(`delete from ${table}`);
    mail.received.length = heard.length = 0;
    mail.refuse(null);
    hookStatus = 204;
  });
  afterAll(async () => {
    await services?.notices.stop();
    await new Promise((closed) => (hook ? hook.close(closed) : closed(null)));
    await mail?.stop();
    await database?.close();
    await server?.stop();
  });

  // Summer time in the European Union begins on the last Sunday of March at 01:00 UTC (Directive 2000/84/EC): 29 March 2026.
  it('is a digest at the person’s local time, once a day, on the days they chose', async () => {
    const person = await addPerson(database, 'manager');
    await wishes().keep(
      person.id,
      { ...wish, digestAt: '07:00', digestDays: [1, 2, 3, 4, 5, 7] },
      new Date('2026-03-27T20:00:00Z'),
    );
    await addFinding(database, 1, { urgency: 'today' });
    const at = async (moment: string) => {
      await live(new Date(moment));
      return arrived().length;
    };
    expect(await at('2026-03-27T23:00:00Z')).toBe(0); // Friday's time was over when it was chosen
    expect(await at('2026-03-28T07:30:00Z')).toBe(0); // Saturday
    expect(await at('2026-03-29T05:59:00Z')).toBe(0); // Sunday, 06:59 in summer time
    expect(await at('2026-03-29T06:00:00Z')).toBe(1); // 07:00
    expect(await at('2026-03-29T06:00:15Z')).toBe(0);
    expect(await at('2026-03-29T20:00:00Z')).toBe(0);
    expect(await at('2026-03-30T11:00:00Z')).toBe(1); // late, as nothing ran at 07:00, and still once
    expect(await at('2026-03-30T12:00:00Z')).toBe(0);
  });

  it('names in the digest what needs a look, what is handed over, and where to read on', async () => {
    const person = await addPerson(database, 'technician');
    const finding = await addFinding(database, 1, { urgency: 'today' });
    await addFinding(database, 2, { urgency: 'this-week' });
    await wishes().keep(person.id, { ...wish, digestAt: '00:00' }, new Date('2026-03-02T08:00:00Z'));
    await database.query(
      `with made as (
         insert into decision (finding_id, unit_id, kind, person_id, version, document, finding)
         values ($1, 1, 'hand-over', $2, 1, '{}', '{"headline": {"text": "It hunts.", "quantities": {}}}') returning id)
       insert into decision_state (finding_id, unit_id, version, decision_id, kind, urgency, assignee_id, due_at)
       select $1, 1, 1, id, 'hand-over', 'today', $2, '2026-03-07T00:00:00Z' from made`,
      [finding, person.id],
    );
    await live(new Date('2026-03-03T09:00:00Z'));
    expect(mail.received).toHaveLength(1);
    const [one] = mail.received;
    expect(one.to).toEqual([await emailOf(person.id)]);
    expect(one.header('subject')).toBe('Coldrounds: 1 unit needs a look today');
    expect(one.header('auto-submitted')).toBe('auto-generated');
    const text = textOfMail(one);
    expect(text).toContain('1 unit needs a look today, 1 this week, 0 at the next visit.');
    expect(text).toContain('Harbour House, chiller-1: It hunts. Due Fri 6 Mar.');
    expect(text).toContain('Harbour House, chiller-2: Superheat swings.');
    expect(text).toContain('https://cold.example.org/units/harbour/chiller-1');
    expect(text).toContain('qualified, licensed people');
  });

  it('is an alert when a unit needs a look today: once a day, unless another problem comes up', async () => {
    const person = await addPerson(database, 'manager');
    const elsewhere = await addPerson(database, 'manager', ['elsewhere']);
    const before = await addFinding(database, 2, { urgency: 'today' });
    await services.attention.catchUp();
    const start = new Date('2026-03-02T10:00:00Z').getTime();
    for (const { id } of [person, elsewhere])
      await wishes().keep(id, { ...wish, alerts: true }, new Date(start));
    const at = async (hours: number) => {
      await live(new Date(start + hours * hour_ms));
      return arrived();
    };
    expect(await at(0)).toEqual([]); // it was so before
    const first = await addFinding(database, 1, { urgency: 'today' });
    expect(await at(1)).toEqual(['Today: Harbour House, chiller-1']);
    expect(await at(2)).toEqual([]);
    await endFinding(first);
    expect(await at(3)).toEqual([]);
    const again = await addFinding(database, 1, { urgency: 'today' });
    expect(await at(4)).toEqual([]); // within a day
    await addFinding(database, 1, { urgency: 'today', condition: 'starving' });
    expect(await at(5)).toEqual(['Today: Harbour House, chiller-1']); // it got worse
    await database.query('update finding set ended_at = now() where unit_id = 1 and ended_at is null');
    expect(again).not.toBe(first);
    expect(await at(30)).toEqual([]); // gone, and the day is over
    await addFinding(database, 1, { urgency: 'today' });
    expect(await at(31)).toEqual(['Today: Harbour House, chiller-1']);
    await endFinding(before);
  });

  it('waits through quiet hours, over midnight too, and then tells only what is still so', async () => {
    const person = await addPerson(database, 'manager');
    await wishes().keep(
      person.id,
      { ...wish, alerts: true, quietFrom: '20:00', quietUntil: '06:30' },
      new Date('2026-03-02T10:00:00Z'),
    );
    const over = await addFinding(database, 1, { urgency: 'today' });
    await addFinding(database, 2, { urgency: 'today' });
    for (const moment of ['2026-03-02T20:00:00Z', '2026-03-03T00:30:00Z', '2026-03-03T06:29:00Z'])
      await live(new Date(moment));
    expect(arrived()).toEqual([]);
    await endFinding(over);
    await live(new Date('2026-03-03T06:30:00Z'));
    expect(arrived()).toEqual(['Today: Harbour House, chiller-2']);
  });

  it('is told to a webhook, signed: what gets worse at once, what gets better a day later', async () => {
    const made = await makeWebhook(['needs-a-look-today', 'more-urgent', 'less-urgent']);
    const start = new Date('2026-03-02T10:00:00Z').getTime();
    const at = async (hours: number) => {
      await live(new Date(start + hours * hour_ms));
      return heard
        .splice(0)
        .map(
          ({ type, data }) => `${type} ${String(data.unit)} ${String(data.before)}-${String(data.urgency)}`,
        );
    };
    expect(await at(0)).toEqual([]);
    const finding = await addFinding(database, 1, { urgency: 'this-week' });
    expect(await at(1)).toEqual(['more-urgent harbour/chiller-1 null-this-week']);
    await database.query(
      `update finding set urgency = 'today', document = document || '{"urgency": "today"}' where id = $1`,
      [finding],
    );
    expect(await at(2)).toEqual(['needs-a-look-today harbour/chiller-1 this-week-today']);
    await endFinding(finding);
    expect(await at(3)).toEqual([]);
    expect(await at(25)).toEqual([]);
    expect(await at(26)).toEqual(['less-urgent harbour/chiller-1 today-null']);
    const { rows } = await database.query('select from outbox where webhook_id = $1 and sent_at is null', [
      made,
    ]);
    expect(rows).toHaveLength(0);
  });

  it('tells a webhook of a decision, and not of one that somebody else forestalled', async () => {
    await makeWebhook(['decided']);
    const person = await addPerson(database, 'manager');
    const finding = await addFinding(database, 1);
    const insert = `insert into decision (finding_id, unit_id, kind, person_id, version, document, finding)
      values ($1, 1, 'note', $2, 0, '{}', '{}') returning id`;
    await database.query(insert, [finding, person.id]);
    await database.transaction(async (client) => {
      const { rows } = await client.query<{ id: number }>(insert, [finding, person.id]);
      await client.query('delete from decision where id = $1', [rows[0].id]);
    });
    await services.notices.sender.sendDue();
    expect(heard.map(({ type, data }) => [type, data.unit, data.finding, data.kind])).toEqual([
      ['decided', 'harbour/chiller-1', finding, 'note'],
    ]);
  });

  it('is not lost by a crash while it is sent, and can be told from its second copy', async () => {
    const person = await addPerson(database, 'reader');
    await outbox().add([{ kind: 'test', personId: person.id, document: testDocument('a crash') }]);
    // A process takes it and ends; its lease is over at once here.
    const [left] = await outbox().take('people', { limit: 10, each: 10, lease_s: 0 });
    expect(left.attempts).toBe(1);
    await services.notices.sender.sendDue();
    // Another had it taken by the mail server, and ended before it noted that.
    await database.query('update outbox set sent_at = null, due_at = now()');
    await services.notices.sender.sendDue();
    const ids = mail.received.map((one) => one.header('message-id'));
    expect(ids).toEqual([`<coldrounds-${left.id}@example.org>`, `<coldrounds-${left.id}@example.org>`]);
  });

  it('is sent once by several processes together', async () => {
    const person = await addPerson(database, 'reader');
    const many = 60;
    await outbox().add(
      Array.from({ length: many }, (_, n) => ({
        ...{ kind: 'test' as const, personId: person.id, document: testDocument(`number ${n}`) },
      })),
    );
    const others = [0, 1].map(() =>
      createServices(readConfig(environment()), database, silent, { ready: true, engine: null }),
    );
    await Promise.all([services, ...others].map(({ notices }) => notices.sender.sendDue()));
    await Promise.all(others.map(({ notices }) => notices.stop()));
    const subjects = arrived();
    expect(subjects).toHaveLength(many);
    expect(new Set(subjects).size).toBe(many);
  });

  it('is sent once, each message, though its sender is killed while it sends', async () => {
    const person = await addPerson(database, 'reader');
    const [many, taken] = [30, 10];
    await outbox().add(
      Array.from({ length: many }, (_, n) => ({
        ...{ kind: 'test' as const, personId: person.id, document: testDocument(`number ${n}`) },
      })),
    );
    const sent = async () =>
      (await database.query<{ n: number }>('select count(sent_at)::int as n from outbox')).rows[0].n;
    const sender = async () =>
      startPart('support/parts/server-part.ts', { ...environment(), PORT: String(await freePort()) });
    mail.holdAfter(taken);
    const first = await sender();
    await until('messages to be on their way', async () => mail.held.length > 0 && (await sent()) === taken);
    await first.kill();
    mail.holdAfter(null);
    expect(mail.received).toHaveLength(taken);
    // Its leases are over at once here.
    await database.query('update outbox set due_at = now() where sent_at is null');
    const second = await sender();
    await until('all of them to be sent', async () => (await sent()) === many);
    await second.stop();
    const ids = mail.received.map((one) => one.header('message-id'));
    expect(ids).toHaveLength(many);
    expect(new Set(ids).size).toBe(many);
    // What the mail server had whole but not answered came again, under the number by which a mailbox tells a copy.
    expect(mail.held.filter((one) => !ids.includes(one.header('message-id')))).toEqual([]);
    mail.held.length = 0;
  });

  it('is written once by several processes together', async () => {
    const people = await Promise.all([1, 2, 3].map(() => addPerson(database, 'reader')));
    for (const { id } of people)
      await wishes().keep(id, { ...wish, digestAt: '07:00', alerts: true }, new Date('2026-03-02T05:00:00Z'));
    await addFinding(database, 1, { urgency: 'today' });
    await services.attention.catchUp();
    const others = [0, 1, 2].map(() =>
      createServices(readConfig(environment()), database, silent, { ready: true, engine: null }),
    );
    await Promise.all(others.map(({ notices }) => notices.clock.tick(new Date('2026-03-02T08:00:00Z'))));
    await Promise.all(others.map(({ notices }) => notices.stop()));
    const { rows } = await database.query<{ kind: string; n: number }>(
      'select kind, count(*)::int as n from outbox group by kind order by kind',
    );
    expect(rows).toEqual([
      { kind: 'alert', n: 3 },
      { kind: 'digest', n: 3 },
    ]);
  });

  it('is tried again with growing waits, then given up, and sent again when an administrator says so', async () => {
    const id = await makeWebhook(['more-urgent']);
    await outbox().add([
      { kind: 'test', webhookId: id, document: { type: 'test', timestamp: '', data: {} } },
    ]);
    hookStatus = 503;
    const state = async () =>
      (
        await database.query<{ attempts: number; wait_s: number; dead: boolean; last_error: string }>(
          `select attempts, extract(epoch from due_at - now())::float8 as wait_s, dead_at is not null as dead, last_error
             from outbox`,
        )
      ).rows[0];
    const waits: number[] = [];
    for (let tries = 1; tries <= 8; tries++) {
      await services.notices.sender.sendDue();
      const { attempts, wait_s, dead, last_error } = await state();
      expect(attempts).toBe(tries);
      expect(last_error).toBe('The webhook answered 503.');
      expect(dead).toBe(tries === 8);
      if (!dead) waits.push(wait_s);
      // Before its time it is left alone.
      await services.notices.sender.sendDue();
      expect((await state()).attempts).toBe(tries);
      await database.query('update outbox set due_at = now()');
    }
    expect([...waits].sort((a, b) => a - b)).toEqual(waits);
    const [dead] = await outbox().dead(10);
    expect(dead).toMatchObject({ to: 'A program', attempts: 8 });
    hookStatus = 204;
    expect(await outbox().again(dead.id)).toBe(true);
    await services.notices.sender.sendDue();
    expect(heard.map(({ type }) => type)).toEqual(['test']);
    expect(await outbox().dead(10)).toEqual([]);
  });

  it('is given up at once where it will never be taken', async () => {
    const id = await makeWebhook(['more-urgent']);
    const person = await addPerson(database, 'reader');
    await outbox().add([
      { kind: 'test', webhookId: id, document: { type: 'test', timestamp: '', data: {} } },
      { kind: 'test', personId: person.id, document: testDocument('nobody') },
    ]);
    hookStatus = 404;
    mail.refuse(() => ({ code: 550, words: 'There is no such mailbox' }));
    await services.notices.sender.sendDue();
    const errors = (await outbox().dead(10)).map(({ lastError }) => lastError);
    expect(errors).toHaveLength(2);
    expect(errors.join()).toMatch(/answered 404/);
    expect(errors.join()).toMatch(/no such mailbox/);
    // A mailbox that is full is another matter.
    mail.refuse(() => ({ code: 452, words: 'The mailbox is full' }));
    await outbox().add([{ kind: 'test', personId: person.id, document: testDocument('full') }]);
    await services.notices.sender.sendDue();
    expect(await outbox().dead(10)).toHaveLength(2);
    expect(await outbox().counts('people')).toMatchObject({ waiting: 1 });
  });

  it('is off until a mail server is set', async () => {
    const person = await addPerson(database, 'reader');
    await wishes().keep(
      person.id,
      { ...wish, digestAt: '07:00', alerts: true },
      new Date('2026-03-02T05:00:00Z'),
    );
    await addFinding(database, 1, { urgency: 'today' });
    await services.attention.catchUp();
    const off = createServices(readConfig({ DATABASE_URL: url, ROLES: 'api' }), database, silent, {
      ready: true,
      engine: null,
    });
    await off.notices.clock.tick(new Date('2026-03-02T08:00:00Z'));
    await off.notices.stop();
    expect((await database.query('select from outbox')).rows).toEqual([]);
  });

  it('is chosen, tested and watched over the interface', async () => {
    const port = await freePort();
    const running = await startServer(readConfig({ ...environment(), PORT: String(port) }), silent);
    try {
      const admin = await addPerson(database, 'administrator');
      const ask = async (method: string, path: string, body?: object) => {
        const response = await fetch(`http://127.0.0.1:${port}/api/${path}`, {
          method,
          headers: { ...(await admin.headers()), 'content-type': 'application/json' },
          body: body === undefined ? undefined : JSON.stringify(body),
        });
        const text = await response.text();
        return {
          status: response.status,
          body: (text === '' ? null : JSON.parse(text)) as unknown,
        };
      };
      const { quietFrom, quietUntil, ...base } = wish;
      expect([quietFrom, quietUntil]).toEqual([null, null]);
      // Hours away from now, so that no digest comes between.
      const away = String((new Date().getUTCHours() + 12) % 24).padStart(2, '0');
      const chosen = { ...base, digestAt: `${away}:45`, quiet: { from: '21:00', until: '06:00' } };
      expect((await ask('PUT', 'notices', chosen)).status).toBe(200);
      expect((await ask('GET', 'notices')).body).toMatchObject({ mailServer: true, wish: chosen });
      for (const bad of [
        { timeZone: 'Mars/Base' },
        { digestAt: '24:00' },
        { digestDays: [] },
        { digestDays: [8] },
      ])
        expect((await ask('PUT', 'notices', { ...chosen, ...bad })).status).toBe(400);
      expect((await ask('POST', 'notices/test')).status).toBe(200);
      await until('the test message', async () => mail.received.length > 0);
      expect(arrived()).toEqual(['Coldrounds: a test']);
      expect((await ask('POST', 'mail/check')).body).toEqual({ ok: true, problem: null });
      expect((await ask('GET', 'mail')).body).toMatchObject({
        server: { host: '127.0.0.1', user: null },
        dead: 0,
      });

      const hooked = { name: 'A program', address: hookAddress, events: ['more-urgent'] };
      expect((await ask('POST', 'webhooks', { ...hooked, address: 'file:///etc/passwd' })).status).toBe(400);
      const made = await ask('POST', 'webhooks', hooked);
      expect(made.status).toBe(201);
      const { webhook, secret: first } = made.body as { webhook: { id: number }; secret: string };
      secret = first;
      expect((await ask('POST', `webhooks/${webhook.id}/test`)).status).toBe(200);
      await until('the webhook’s test', async () => heard.length > 0);
      expect(JSON.stringify((await ask('GET', 'webhooks')).body)).not.toContain(first);
      const renewed = (await ask('POST', `webhooks/${webhook.id}/secret`)).body as { secret: string };
      expect(renewed.secret).not.toBe(first);
      const { status } = await ask('PATCH', `webhooks/${webhook.id}`, { ...hooked, active: false });
      expect(status).toBe(200);
      const listed = (await ask('GET', `webhooks/${webhook.id}/deliveries`)).body as { deliveries: object[] };
      expect(listed.deliveries).toHaveLength(1);
      expect((await ask('DELETE', `webhooks/${webhook.id}`)).status).toBe(204);
      expect((await ask('DELETE', `webhooks/${webhook.id}`)).status).toBe(404);
      const log = JSON.stringify((await ask('GET', 'audit-log')).body);
      for (const action of ['made a', 'changed a', 'made a new secret of a', 'removed a'])
        expect(log).toContain(`${action} webhook`);
      expect(log).not.toContain(first);
    } finally {
      await running.stop();
    }
  });

  const testDocument = (subject: string) => ({
    ...{ subject, opening: 'A test.', parts: [], link: { words: 'The round', path: '/' } },
  });

  async function makeWebhook(events: string[]): Promise<number> {
    secret = `whsec_${Buffer.from('a secret of these tests, 32 bytes').toString('base64')}`;
    const { rows } = await database.query<{ id: number }>(
      `insert into webhook (name, address, secret, events) values ('A program', $1, $2, $3) returning id`,
      [hookAddress, secret, events],
    );
    await database.query(
      `insert into webhook_told select $1, unit_id, least(urgency, 3), -findings, '-infinity' from unit_attention`,
      [rows[0].id],
    );
    return rows[0].id;
  }
});
