import { readFileSync } from 'node:fs';
import { readFile, rm } from 'node:fs/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunningServer } from '../../../backend/server/src/bin/server-process.js';
import { readKeys, writeSeen } from '../../../backend/server/src/gateways/handing-over/embedded-files.js';
import { KeyKeeper } from '../../../backend/server/src/gateways/handing-over/key-keeper.js';
import { isPassword } from '../../../backend/server/src/gateways/password.js';
import { personRoles, type PersonRole } from '../../../backend/server/src/people/roles.js';
import { type Database, PartitionKeeper, weeksOf } from '../../../backend/server/src/storage/index.js';
import { GatewayRepository } from '../../../backend/server/src/storage/gateways/gateway.repository.js';
import { startApi } from '../../support/api-server.js';
import {
  type DatabaseServer,
  openMigrated,
  startDatabaseServer,
  temporaryFolder,
} from '../../support/store/database.js';
import { until } from '../../support/publish.js';
import { seedFleet } from '../../support/store/fleet.js';
import { addFinding, addPerson, type TestPerson } from '../../support/store/people.js';

const { paths } = JSON.parse(
  readFileSync(new URL('../../../backend/server/openapi.json', import.meta.url), 'utf8'),
) as { paths: Record<string, Record<string, unknown>> };
const routes = Object.entries(paths).flatMap(([path, operations]) =>
  Object.keys(operations).map((method) => `${method.toUpperCase()} ${path}`),
);

const everyone: readonly PersonRole[] = personRoles;
const administrator: readonly PersonRole[] = ['administrator'];
const notReader: readonly PersonRole[] = ['technician', 'manager', 'engineer', 'administrator'];
const anybody = 'anybody';

const registrars: readonly PersonRole[] = ['manager', 'engineer', 'administrator'];

/**
 * Who may call what; a route that reads and is not named here is for everyone with an account. A route that changes
 * something has to be named.
 */
const allowed: Record<string, readonly PersonRole[] | typeof anybody> = {
  'GET /api/health': anybody,
  'GET /api/session': anybody,
  'POST /api/sign-in': anybody,
  'GET /api/sign-in/openid': anybody,
  'GET /api/sign-in/openid/return': anybody,
  'POST /api/invitations/look': anybody,
  'POST /api/invitations/join': anybody,
  'POST /api/sign-out': everyone,
  'POST /api/session/person': everyone,
  'POST /api/session/password': everyone,
  'GET /api/sessions': everyone,
  'DELETE /api/sessions/{id}': everyone,
  'POST /api/session/second-factor': everyone,
  'POST /api/session/second-factor/confirm': everyone,
  'GET /api/session/second-factor/recovery-codes': everyone,
  'POST /api/session/second-factor/recovery-codes': everyone,
  'POST /api/session/second-factor/off': everyone,
  'GET /api/second-factor-rule': administrator,
  'PUT /api/second-factor-rule': administrator,
  'DELETE /api/accounts/{id}/second-factor': administrator,
  'POST /api/accounts/{id}/sign-out': administrator,
  'GET /api/tokens': everyone,
  'POST /api/tokens': everyone,
  'DELETE /api/tokens/{id}': everyone,
  'POST /api/findings/{id}/decisions': notReader,
  'POST /api/diagnoses/{id}/decisions': notReader,
  'POST /api/study/questions': notReader,
  'DELETE /api/study/questions/{id}': notReader,
  'GET /api/day-plan': notReader,
  'GET /api/day-plan/calendar.ics': notReader,
  'GET /api/calendars/{file}': anybody,
  'GET /api/calendar-address': notReader,
  'POST /api/calendar-address': notReader,
  'DELETE /api/calendar-address': notReader,
  'GET /api/people': notReader,
  'GET /api/accounts': administrator,
  'POST /api/accounts': administrator,
  'PATCH /api/accounts/{id}': administrator,
  'POST /api/accounts/{id}/link': administrator,
  'GET /api/audit-log': administrator,
  'PUT /api/notices': everyone,
  'POST /api/notices/test': everyone,
  'GET /metrics': ['manager', 'engineer', 'administrator'],
  'GET /api/mail': administrator,
  'POST /api/mail/check': administrator,
  'GET /api/dead-letters': administrator,
  'POST /api/dead-letters/{id}/again': administrator,
  'GET /api/webhooks': administrator,
  'POST /api/webhooks': administrator,
  'PATCH /api/webhooks/{id}': administrator,
  'DELETE /api/webhooks/{id}': administrator,
  'POST /api/webhooks/{id}/secret': administrator,
  'POST /api/webhooks/{id}/test': administrator,
  'GET /api/webhooks/{id}/deliveries': administrator,
  'POST /api/registry/sites': registrars,
  'POST /api/registry/table': registrars,
  'POST /api/registry/sparkplug': registrars,
  'POST /api/registry/sparkplug/preview': registrars,
  'PUT /api/registry/sites/{site}/units/{unit}/sparkplug': registrars,
  'POST /api/registry/table/preview': registrars,
  'PUT /api/registry/sites/{site}': registrars,
  'POST /api/registry/sites/{site}/check': registrars,
  'POST /api/registry/sites/{site}/units': registrars,
  'PUT /api/registry/sites/{site}/units/{unit}': registrars,
  'POST /api/registry/sites/{site}/units/{unit}/retire': registrars,
  'POST /api/registry/sites/{site}/units/{unit}/bring-back': registrars,
  'POST /api/registry/sites/{site}/units/{unit}/move': registrars,
  'POST /api/registry/sites/{site}/gateways': ['manager', 'administrator'],
  'DELETE /api/registry/sites/{site}/gateways/{number}': ['manager', 'administrator'],
  'POST /api/registry/sites/{site}/units/{unit}/circuits/{circuit}/move': registrars,
  'POST /api/registry/sites/{site}/units/{unit}/modules/{module}/move': registrars,
};

const allowedOn = (route: string) => allowed[route] ?? (route.startsWith('GET ') ? everyone : undefined);

describe('every route', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;
  let finding: string;
  let diagnosis: string;
  const people = new Map<PersonRole, TestPerson>();

  const example = (path: string): string =>
    path
      .replace('{site}', 'harbour')
      .replace('{unit}', 'chiller-1')
      .replace(/\/findings\/\{id\}/, `/findings/${finding}`)
      .replace(/\/diagnoses\/\{id\}/, `/diagnoses/${diagnosis}`)
      .replace(/\/(accounts|sessions|tokens|webhooks|dead-letters)\/\{id\}/, '/$1/999')
      .replace(/\{\w+\}/g, '1');

  /** The status of an answer; a stream is left as soon as it has begun. */
  async function call(route: string, headers: Record<string, string>): Promise<number> {
    const [method, path] = route.split(' ');
    const ending = new AbortController();
    const response = await fetch(base + example(path), {
      method,
      // As through a proxy, so that nobody is taken for somebody at this machine.
      headers: {
        via: '1.1 proxy',
        ...headers,
        ...(method === 'GET' ? {} : { 'content-type': 'application/json' }),
      },
      body: method === 'GET' ? undefined : '{}',
      signal: ending.signal,
      redirect: 'manual',
    });
    if (response.headers.get('content-type')?.startsWith('text/event-stream')) ending.abort();
    else await response.arrayBuffer();
    return response.status;
  }

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database);
    await database.query(
      `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
       values ('elsewhere', 'Elsewhere', 0, 40, -8, 'Europe/Lisbon', 'mild')`,
    );
    finding = await addFinding(database, 1);
    for (const role of personRoles) people.set(role, await addPerson(database, role));
    ({ running, base } = await startApi(url));
    // Made from the finding by the server itself.
    const made = async () =>
      (await database.query<{ id: string }>('select id::text as id from diagnosis order by id limit 1')).rows;
    await until('the finding to be diagnosed', async () => (await made()).length > 0, 120_000);
    diagnosis = (await made())[0].id;
  });
  afterAll(async () => {
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('that changes something is named here with those who may', () => {
    expect(routes.length).toBeGreaterThan(30);
    expect(routes.filter((route) => allowedOn(route) === undefined)).toEqual([]);
    expect(Object.keys(allowed).filter((route) => !routes.includes(route))).toEqual([]);
  });

  it('asks who has not signed in to do so, unless it is for anybody', async () => {
    for (const route of routes) {
      const status = await call(route, {});
      if (allowedOn(route) !== anybody) expect(status, route).toBe(401);
      else expect([200, 400, 404], route).toContain(status);
    }
  });

  it.each(personRoles)('answers the role %s where it may, and refuses it where not', async (role) => {
    for (const route of routes) {
      const status = await call(route, await people.get(role)!.headers());
      const may = allowedOn(route)!;
      if (may === anybody || may.includes(role)) {
        expect([401, 403], `${role} ${route}`).not.toContain(status);
        expect(status, `${role} ${route}`).toBeLessThan(500);
      } else expect(status, `${role} ${route}`).toBe(403);
    }
  });

  it('shows nothing of other sites to who is limited to some', async () => {
    for (const role of ['reader', 'administrator'] as const) {
      const limited = await addPerson(database, role, ['elsewhere']);
      const headers = await limited.headers();
      for (const route of routes) {
        if (allowedOn(route) === anybody || route === 'POST /api/sign-out') continue;
        const [method, path] = route.split(' ');
        const status = await call(route, headers);
        if (/\{site\}|\/(findings|diagnoses)\/\{id\}/.test(path))
          expect([403, 404], `${role} ${route}`).toContain(status);
        if (method !== 'GET' || status !== 200 || path === '/api/events') continue;
        const text = await (await fetch(base + example(path), { headers })).text();
        expect(text, `${role} ${route}`).not.toMatch(/harbour|Harbour|chiller-1/);
      }
    }
  });

  it('shows a saved question to whoever may see the sites that it names, and lets its author remove it', async () => {
    const saved = async (who: Record<string, string>) => {
      const answer = await fetch(`${base}/api/study/questions`, { headers: who });
      return ((await answer.json()) as { saved: { id: number; name: string; own: boolean }[] }).saved;
    };
    const author = await (await addPerson(database, 'engineer')).headers();
    const harbour = await (await addPerson(database, 'technician', ['harbour'])).headers();
    const elsewhere = await (await addPerson(database, 'technician', ['elsewhere'])).headers();
    const post = (question: string) =>
      fetch(`${base}/api/study/questions`, {
        method: 'POST',
        headers: { ...author, 'content-type': 'application/json' },
        body: JSON.stringify({ name: 'Hunting at the harbour', question }),
      });
    expect((await post('quantity=no-such-thing')).status).toBe(400);
    expect((await post('quantity=huntingFraction&where=site:harbour')).status).toBe(204);
    const [mine] = await saved(author);
    expect(mine).toMatchObject({ name: 'Hunting at the harbour', own: true });
    expect(await saved(harbour)).toMatchObject([{ id: mine.id, own: false }]);
    expect(await saved(elsewhere)).toEqual([]);
    const remove = async (who: Record<string, string>) =>
      (await fetch(`${base}/api/study/questions/${mine.id}`, { method: 'DELETE', headers: who })).status;
    expect([await remove(elsewhere), await remove(harbour), await remove(author)]).toEqual([404, 403, 204]);
    expect(await saved(author)).toEqual([]);
  });

  it('shows study and unread messages of one’s own sites to who is limited to them', async () => {
    await database.query(
      `insert into unread_message (topic, payload, reason, detail) values
         ('coldrounds/1/harbour/chiller-1/water', 'x', 'not-json', 'It is not JSON.'),
         ('coldrounds/1/elsewhere/chiller-9/water', 'y', 'not-json', 'It is not JSON.')`,
    );
    await database.query(
      `insert into unread_count (day, source, reason, kept, not_kept, last_at) values
         (current_date, 'harbour/chiller-1', 'not-json', 1, 3, now())`,
    );
    const read = async <Answer>(path: string, who: Record<string, string>) => {
      const response = await fetch(base + path, { headers: who });
      expect(response.status, path).toBe(200);
      return (await response.json()) as Answer;
    };
    interface Unread {
      total: number;
      notKept: unknown[];
      messages: { id: string; topic: string }[];
    }
    const own = await (await addPerson(database, 'engineer', ['harbour'])).headers();
    const other = await (await addPerson(database, 'engineer', ['elsewhere'])).headers();
    const harbour = await read<Unread>('/api/unread-messages', own);
    expect(harbour.messages.map(({ topic }) => topic)).toEqual(['coldrounds/1/harbour/chiller-1/water']);
    expect(harbour.total).toBe(1);
    expect(harbour.notKept).toHaveLength(1);
    const elsewhere = await read<Unread>('/api/unread-messages', other);
    expect(elsewhere.messages.map(({ topic }) => topic)).toEqual(['coldrounds/1/elsewhere/chiller-9/water']);
    expect(elsewhere.notKept).toEqual([]);
    const payload = async (who: Record<string, string>) =>
      (await fetch(`${base}/api/unread-messages/${harbour.messages[0].id}/payload`, { headers: who })).status;
    expect([await payload(own), await payload(other)]).toEqual([200, 404]);
    const circuits = [
      ['harbour', own],
      ['elsewhere', other],
    ] as const;
    await new PartitionKeeper(database.pool).ensure('circuit_day', weeksOf([Date.now()]));
    await database.query(
      `insert into circuit_day (circuit_id, day, judged_at, windows, window_count, steady_minutes, judged_minutes,
         hunting_minutes, valve_minutes, valve_travel_strokes, valve_reversals)
       values (1, date_trunc('day', now()), now(), '', 0, 600, 600, 0, 600, 1, 1)`,
    );
    const studied = (who: Record<string, string>) =>
      read<{ total: number; circuits: { site: string }[] }>('/api/study/circuits?days=28', who);
    // Figures over the fleet are kept for a while.
    await until('the day to be studied', async () => (await studied(own)).total === 1, 120_000);
    for (const [site, who] of circuits) {
      const study = await studied(who);
      expect(study.total).toBe(site === 'harbour' ? 1 : 0);
      expect(study.circuits.every((row) => row.site === site)).toBe(true);
      const missing = await read<{ samples: number; messagesLost: unknown[] }>('/api/missing-telemetry', who);
      expect(missing).toMatchObject({ samples: 0, messagesLost: [] });
    }
    // It has no windows that could be read.
    await database.query('delete from circuit_day');
  });

  it('shows its own site to who is limited to it, with the counts of that site', async () => {
    const headers = await (await addPerson(database, 'reader', ['harbour'])).headers();
    const other = await (await addPerson(database, 'reader', ['elsewhere'])).headers();
    expect((await fetch(`${base}/api/units/harbour/chiller-1`, { headers })).status).toBe(200);
    const counted = async (who: Record<string, string>) =>
      (await (await fetch(`${base}/api/units`, { headers: who })).json()) as { total: number; fleet: number };
    expect(await counted(headers)).toMatchObject({ total: 1, fleet: 1 });
    expect(await counted(other)).toMatchObject({ total: 0, fleet: 0 });
    const pictured = async (who: Record<string, string>) =>
      (await (await fetch(`${base}/api/evidence?findings=${finding}`, { headers: who })).json()) as {
        evidence: { finding: string }[];
      };
    expect((await pictured(headers)).evidence.map((each) => each.finding)).toEqual([finding]);
    expect((await pictured(other)).evidence).toEqual([]);
  });

  it('refuses an expired or revoked token, and lets a valid one do only what its scopes name', async () => {
    const manager = people.get('manager')!;
    const ask = async (path: string, given: RequestInit & { headers?: Record<string, string> } = {}) =>
      fetch(base + path, { ...given, headers: { 'content-type': 'application/json', ...given.headers } });
    const make = async (scopes: string[]) => {
      const response = await ask('/api/tokens', {
        method: 'POST',
        headers: await manager.headers(),
        body: JSON.stringify({ name: 'a machine', scopes, days: 30 }),
      });
      expect(response.status).toBe(201);
      return (await response.json()) as { token: { id: number }; secret: string };
    };
    const { token, secret } = await make(['note']);
    const bearer = { authorization: `Bearer ${secret}` };
    expect((await ask('/api/people', { headers: bearer })).status).toBe(200);
    expect((await ask('/api/rounds', { headers: bearer })).status).toBe(403);
    const own = await ask('/api/tokens', {
      method: 'POST',
      headers: { authorization: `Bearer ${(await make(['read'])).secret}` },
      body: JSON.stringify({ name: 'another', scopes: ['read'], days: 1 }),
    });
    expect(own.status).toBe(403);
    await database.query(`update api_token set expires_at = now() - interval '1 second' where id = $1`, [
      token.id,
    ]);
    expect((await ask('/api/people', { headers: bearer })).status).toBe(401);
    const second = await make(['read']);
    const headers = { authorization: `Bearer ${second.secret}` };
    expect((await ask('/api/rounds', { headers })).status).toBe(200);
    const revoked = await ask(`/api/tokens/${second.token.id}`, {
      method: 'DELETE',
      headers: await manager.headers(),
    });
    expect(revoked.status).toBe(204);
    expect((await ask('/api/rounds', { headers })).status).toBe(401);
  });

  it('tells a monitor how the server fares: at this machine, or by a token for that', async () => {
    const ask = (headers: Record<string, string>) =>
      fetch(`${base}/metrics`, { headers: { via: '1.1 proxy', ...headers } });
    const made = await fetch(`${base}/api/tokens`, {
      method: 'POST',
      headers: { ...(await people.get('engineer')!.headers()), 'content-type': 'application/json' },
      body: JSON.stringify({ name: 'a monitor', scopes: ['metrics'], days: 30 }),
    });
    const { secret } = (await made.json()) as { secret: string };
    expect((await ask({})).status).toBe(401);
    expect((await ask(await people.get('technician')!.headers())).status).toBe(403);
    const limited = await addPerson(database, 'manager', ['harbour']);
    expect((await ask(await limited.headers())).status).toBe(403);
    expect((await fetch(`${base}/metrics`)).status).toBe(200);
    expect(
      (await fetch(`${base}/api/rounds`, { headers: { authorization: `Bearer ${secret}` } })).status,
    ).toBe(403);
    const answer = await ask({ authorization: `Bearer ${secret}` });
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toMatch(/^application\/openmetrics-text; *version=1\.0\.0/);
    expect(answer.headers.get('cache-control')).toBe('no-store');
    const text = await answer.text();
    // OpenMetrics 1.0.0, its ABNF: metadata, samples, and the end.
    const name = '[a-zA-Z_:][a-zA-Z0-9_:]*';
    const label = `${name}="(?:[^"\\\\\\n]|\\\\[\\\\n"])*"`;
    const line = new RegExp(
      `^(# (TYPE|UNIT|HELP) ${name}( .*)?|${name}(\\{(${label}(,${label})*)?\\})? (NaN|[+-]?Inf|[+-]?[0-9.]+([eE][+-]?[0-9]+)?)( [0-9.]+)?|# EOF)$`,
    );
    const lines = text.split('\n');
    expect(lines.pop()).toBe('');
    expect(lines.at(-1)).toBe('# EOF');
    expect(lines.filter((one) => !line.test(one))).toEqual([]);
    const value = (sample: string) =>
      Number(lines.find((one) => one.startsWith(`${sample} `))?.split(' ')[1]);
    expect(value('coldrounds_ready')).toBe(1);
    expect(value('coldrounds_registered{what="units"}')).toBe(1);
    expect(value('coldrounds_findings_open{urgency="this-week"}')).toBe(1);
    expect(value('coldrounds_outbox_given_up{to="webhooks"}')).toBe(0);
    expect(value('coldrounds_database_bytes')).toBeGreaterThan(1e6);
    expect(value('coldrounds_table_bytes{table="reading"}')).toBeGreaterThanOrEqual(0);
    expect(value('coldrounds_http_requests_total{method="GET",status="4xx"}')).toBeGreaterThan(0);
    expect(text).not.toMatch(/harbour|chiller/);
  });

  it('hands a gateway’s key to the broker and takes over what it refused; the secret is shown once and not kept', async () => {
    const manager = await (await addPerson(database, 'manager', ['harbour'])).headers();
    const gateways = `${base}/api/registry/sites/harbour/gateways`;
    const post = (body: object, headers = manager) =>
      fetch(gateways, {
        ...{ method: 'POST', headers: { ...headers, 'content-type': 'application/json' } },
        body: JSON.stringify(body),
      });
    interface List {
      broker: { kind: string };
      gateways: { user: string; revokedAt: string | null; connectedAt: string | null; refusals: object[] }[];
      strangers: object[] | null;
    }
    const list = async (headers = manager) => (await (await fetch(gateways, { headers })).json()) as List;
    expect((await post({ name: ' ' })).status).toBe(400);
    const { gateway, password } = (await (await post({ name: 'Plant room' })).json()) as {
      gateway: { user: string; name: string };
      password: string;
    };
    expect(gateway).toMatchObject({ user: 'harbour.1', name: 'Plant room' });
    expect(JSON.stringify(await list())).not.toContain(password);
    const { rows } = await database.query<{ all: string }>(
      `select string_agg(g::text, '') || (select string_agg(a::text, '') from audit_entry a) as all from gateway g`,
    );
    expect(rows[0].all).toContain('made a key of a gateway');
    expect(rows[0].all).not.toContain(password);

    const folder = await temporaryFolder('handed');
    const logged: unknown[] = [];
    const keeper = new KeyKeeper({
      ...{ database, gateways: new GatewayRepository(database), every_ms: 3_600_000 },
      to: {
        embedded: folder,
        mosquitto: { folder: `${folder}/mosquitto`, pidFile: null, own: { user: 'us', password: 'x' } },
      },
      log: (_, detail, line) => logged.push({ ...detail, line }),
    });
    await keeper.start();
    const handed = async () => (await readKeys(folder))!.find(({ user }) => user === 'harbour.1')!;
    expect(await isPassword(password, (await handed()).hash!)).toBe(true);
    expect(await readFile(`${folder}/mosquitto/acl`, 'utf8')).toContain(
      'user harbour.1\ntopic write coldrounds/1/harbour/#',
    );
    const at = new Date().toISOString();
    const refusal = (count: number) => ({ count, lastAt: at, detail: 'coldrounds/1/mall/x/water' });
    await writeSeen(folder, {
      gateways: {
        'harbour.1': { connectedAt: at, refusals: { 'other-site': refusal(3) } },
        'gone.9': { connectedAt: at, refusals: { revoked: refusal(1) } },
      },
      strangers: { 'no-key': { ...refusal(2), detail: '10.0.0.9' } },
    });
    await keeper.keep();
    expect(logged).toContainEqual(
      expect.objectContaining({ gateway: 'harbour.1', reason: 'other-site', count: 3 }),
    );
    const told = logged.length;
    await keeper.keep();
    expect(logged).toHaveLength(told);
    expect(await list()).toMatchObject({
      broker: { kind: 'none' },
      gateways: [
        { user: 'harbour.1', connectedAt: at, refusals: [{ reason: 'other-site', count: 3, lastAt: at }] },
      ],
      // Where strangers come from is not for people of some sites.
      strangers: null,
    });
    const all = await list(await people.get('administrator')!.headers());
    expect(all.strangers).toEqual([
      expect.objectContaining({ reason: 'no-key', count: 2, detail: '10.0.0.9' }),
    ]);
    const health = (await (await fetch(`${base}/api/health`)).json()) as { gatewaysRefused: object[] };
    expect(health.gatewaysRefused).toEqual([
      { reason: 'no-key', count: 2, gateways: 0, lastAt: at },
      { reason: 'other-site', count: 3, gateways: 1, lastAt: at },
    ]);
    expect(JSON.stringify(health)).not.toMatch(/10\.0\.0\.9|harbour/);

    const revoke = async (number: number) =>
      (await fetch(`${gateways}/${number}`, { method: 'DELETE', headers: manager })).status;
    expect(await revoke(7)).toBe(404);
    expect(await revoke(1)).toBe(204);
    expect(await revoke(1)).toBe(404);
    // Told by the store: nobody waits for the next look.
    await until('the revoked key to be handed over', async () => (await handed()).hash === null);
    expect((await list()).gateways[0].revokedAt).not.toBeNull();
    // Its number is not given again, so that what is known of the old key is not taken for the new.
    expect(await (await post({ name: 'Another' })).json()).toMatchObject({ gateway: { user: 'harbour.2' } });
    await keeper.stop();
    await rm(folder, { recursive: true });
  });

  it('refuses a change that another site’s page makes a browser ask for', async () => {
    const headers = { ...(await people.get('administrator')!.headers()), 'content-type': 'application/json' };
    const body = JSON.stringify({ name: 'New', email: 'new@example.org', role: 'reader', sites: null });
    const invite = async (extra: Record<string, string>) =>
      (await fetch(`${base}/api/accounts`, { method: 'POST', headers: { ...headers, ...extra }, body }))
        .status;
    expect(await invite({ origin: 'https://elsewhere.example' })).toBe(403);
    expect(await invite({ origin: 'null' })).toBe(403);
    expect(await invite({ origin: base })).toBe(201);
  });

  it('keeps a log that nobody can rewrite', async () => {
    const log = async () =>
      (await (
        await fetch(`${base}/api/audit-log`, { headers: await people.get('administrator')!.headers() })
      ).json()) as { entries: { action: string; who: string }[] };
    const { entries } = await log();
    expect(entries.map(({ action }) => action)).toContain('invited');
    for (const statement of [
      `update audit_entry set who = 'nobody'`,
      'delete from audit_entry',
      'truncate audit_entry',
    ])
      await expect(database.query(statement), statement).rejects.toThrow(/cannot be changed/);
    expect((await log()).entries).toEqual(entries);
  });

  it('closes an account at once, and never the last administrator’s', async () => {
    const admin = await people.get('administrator')!.headers();
    const technician = await addPerson(database, 'technician');
    const open = await technician.headers();
    expect((await fetch(`${base}/api/rounds`, { headers: open })).status).toBe(200);
    const change = async (id: number, role: PersonRole, active: boolean) =>
      (
        await fetch(`${base}/api/accounts/${id}`, {
          method: 'PATCH',
          headers: { ...admin, 'content-type': 'application/json' },
          body: JSON.stringify({ name: 'Changed', role, sites: null, active }),
        })
      ).status;
    expect(await change(technician.id, 'technician', false)).toBe(200);
    expect((await fetch(`${base}/api/rounds`, { headers: open })).status).toBe(401);
    await database.query(`update person set active = false where role = 'administrator' and id <> $1`, [
      people.get('administrator')!.id,
    ]);
    expect(await change(people.get('administrator')!.id, 'reader', true)).toBe(400);
  });
});
