import { request } from 'node:http';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startServer } from '../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { until } from '../support/publish.js';

const silent = pino({ level: 'silent' });

interface Session {
  mode: string;
  person: { id: number | null; name: string; role: string; abilities: string[] } | null;
  switchTo: { id: number; name: string; role: string }[];
}

/** A browser, as far as cookies go. */
class Browser {
  readonly cookies = new Map<string, string>();
  /** `set-cookie` lines of the last answer. */
  set: string[] = [];

  constructor(private readonly base: string) {}

  async ask(method: string, path: string, body?: object): Promise<{ status: number; body: unknown }> {
    const response = await fetch(this.base + path, {
      method,
      headers: {
        ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        cookie: [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; '),
      },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
    this.set = response.headers.getSetCookie();
    for (const line of this.set) {
      const [pair] = line.split(';');
      const [name, value] = [pair.slice(0, pair.indexOf('=')), pair.slice(pair.indexOf('=') + 1)];
      if (value === '') this.cookies.delete(name);
      else this.cookies.set(name, value);
    }
    const text = await response.text();
    return { status: response.status, body: text === '' ? null : JSON.parse(text) };
  }

  session = async () => (await this.ask('GET', '/api/session')).body as Session;
}

const password = 'seven chillers on the roof';
const email = 'first@example.org';

describe('signing in', () => {
  let server: DatabaseServer;
  let database: Database;
  let url: string;

  const start = async (environment: Record<string, string> = {}) => {
    const port = await freePort();
    const running = await startServer(
      readConfig({
        DATABASE_URL: url,
        PORT: String(port),
        ROLES: 'api',
        LOG_LEVEL: 'silent',
        ...environment,
      }),
      silent,
    );
    return { running, base: `http://127.0.0.1:${port}` };
  };
  /** Asks with headers that `fetch` does not let one set. */
  const raw = (base: string, path: string, headers: Record<string, string>) =>
    new Promise<number>((resolve, reject) => {
      request(base + path, { headers, agent: false }, (response) => {
        response.resume();
        resolve(response.statusCode!);
      })
        .on('error', reject)
        .end();
    });

  beforeAll(async () => {
    server = await startDatabaseServer();
    url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database);
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  it('is refused to a server that others can reach and that has no accounts', async () => {
    await expect(start({ HOST: '0.0.0.0' })).rejects.toThrow(/Nobody has an account yet.*first-account/);
  });

  it('is not asked for at this machine before there are accounts: everything can be read, nothing changed', async () => {
    const { running, base } = await start();
    try {
      expect(running.firstAccount).toMatch(/^http:\/\/localhost:\d+\/join#[\w-]{43}$/);
      const browser = new Browser(base);
      expect(await browser.session()).toMatchObject({
        mode: 'set-up',
        person: { id: null, role: 'reader', abilities: ['read'] },
      });
      expect((await browser.ask('GET', '/api/rounds')).status).toBe(200);
      expect((await browser.ask('POST', '/api/accounts', {})).status).toBe(403);
      expect(
        (await browser.ask('POST', '/api/tokens', { name: 'x', scopes: ['read'], days: 1 })).status,
      ).toBe(403);
    } finally {
      await running.stop();
    }
  });

  it('is asked for where a request only seems to come from this machine', async () => {
    const { running, base } = await start();
    try {
      expect(await raw(base, '/api/rounds', {})).toBe(200);
      expect(await raw(base, '/api/rounds', { host: 'rebound.example' })).toBe(401);
      expect(await raw(base, '/api/rounds', { 'x-forwarded-for': '203.0.113.7' })).toBe(401);
    } finally {
      await running.stop();
    }
  });

  it('is not needed in the demo, which opens as its manager and goes on as its other people', async () => {
    const { running, base } = await start({ DEMO: 'on' });
    try {
      expect(running.firstAccount).toBeNull();
      const browser = new Browser(base);
      const first = await browser.session();
      expect(first).toMatchObject({ mode: 'demo', person: { role: 'manager' } });
      expect(first.switchTo.map(({ role }) => role)).toEqual(['manager', 'technician', 'engineer']);
      expect(first.person!.abilities).not.toContain('administer');
      const technician = first.switchTo.find(({ role }) => role === 'technician')!;
      expect((await browser.ask('POST', '/api/session/person', { person: technician.id })).status).toBe(200);
      expect((await browser.session()).person).toMatchObject({ role: 'technician', name: technician.name });
      expect((await browser.ask('POST', '/api/session/person', { person: 999 })).status).toBe(403);
      expect((await browser.ask('GET', '/api/audit-log')).status).toBe(403);
      expect(await raw(base, '/api/rounds', { host: 'rebound.example' })).toBe(401);
    } finally {
      await running.stop();
    }
  });

  it('begins with a link that works once and makes the administrator', async () => {
    const { running, base } = await start();
    try {
      const token = running.firstAccount!.split('#')[1];
      const browser = new Browser(base);
      const join = (given: object) => browser.ask('POST', '/api/invitations/join', { token, ...given });
      expect((await join({ name: 'First', email, password: 'too short' })).status).toBe(400);
      expect((await join({ name: 'First', email, password: 'first@example.org' })).status).toBe(400);
      expect((await join({ name: 'First', email, password })).status).toBe(200);
      const sessionLine = browser.set.find((line) => line.startsWith('coldrounds-session='))!;
      expect(sessionLine).toMatch(/HttpOnly/i);
      expect(sessionLine).toMatch(/SameSite=Strict/i);
      expect(await browser.session()).toMatchObject({ mode: 'accounts', person: { role: 'administrator' } });
      expect((await join({ name: 'Second', email: 'second@example.org', password })).status).toBe(404);
      const stranger = new Browser(base);
      expect((await stranger.ask('GET', '/api/rounds')).status).toBe(401);
      expect((await stranger.session()).person).toBeNull();
    } finally {
      await running.stop();
    }
  });

  it('keeps no password and no secret that can be read', async () => {
    const { rows } = await database.query<{ hash: string }>(
      'select password_hash as hash from person where email = $1',
      [email],
    );
    // PUBLISHED: OWASP password storage cheat sheet, Argon2id with 19 MiB, 2 iterations, 1 lane.
    expect(rows[0].hash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
  });

  it('ends with signing out, and not before', async () => {
    const { running, base } = await start();
    try {
      const browser = new Browser(base);
      expect(
        (await browser.ask('POST', '/api/sign-in', { email: 'First@Example.org', password })).status,
      ).toBe(200);
      expect((await browser.ask('GET', '/api/rounds')).status).toBe(200);
      const stolen = new Browser(base);
      for (const [name, value] of browser.cookies) stolen.cookies.set(name, value);
      expect((await browser.ask('POST', '/api/sign-out')).body).toEqual({ goOnTo: null });
      expect((await stolen.ask('GET', '/api/rounds')).status).toBe(401);
      // Or after a day without use, or two weeks in all.
      for (const [column, kept, over] of [
        ['used_at', '23 hours', '25 hours'],
        ['started_at', '13 days', '15 days'],
      ]) {
        await browser.ask('POST', '/api/sign-in', { email, password });
        await database.query(`update session set ${column} = now() - interval '${kept}'`);
        expect((await browser.ask('GET', '/api/rounds')).status, kept).toBe(200);
        await database.query(`update session set ${column} = now() - interval '${over}'`);
        expect((await browser.ask('GET', '/api/rounds')).status, over).toBe(401);
      }
    } finally {
      await running.stop();
    }
  });

  it('has another password after the present one was typed, and ends everywhere else', async () => {
    const { running, base } = await start();
    try {
      const [here, there] = [new Browser(base), new Browser(base)];
      for (const browser of [here, there]) await browser.ask('POST', '/api/sign-in', { email, password });
      const change = (current: string, wanted: string) =>
        here.ask('POST', '/api/session/password', { current, wanted });
      const other = 'eleven compressors in the cellar';
      expect((await change('not the present one', other)).status).toBe(400);
      expect((await change(password, 'qwerty123456')).status).toBe(400);
      expect((await there.ask('GET', '/api/rounds')).status).toBe(200);
      expect((await change(password, other)).status).toBe(200);
      expect((await here.ask('GET', '/api/rounds')).status).toBe(200);
      expect((await there.ask('GET', '/api/rounds')).status).toBe(401);
      expect((await there.ask('POST', '/api/sign-in', { email, password })).status).toBe(401);
      expect((await change(other, password)).status).toBe(200);
    } finally {
      await running.stop();
    }
  });

  it('answers a wrong password and an unknown address alike, and soon asks to wait', async () => {
    const { running, base } = await start();
    try {
      const known = new Browser(base);
      expect((await known.ask('POST', '/api/sign-in', { email, password })).status).toBe(200);
      await known.ask('POST', '/api/sign-out');
      const stranger = new Browser(base);
      const attempt = (who: string) =>
        stranger.ask('POST', '/api/sign-in', { email: who, password: 'wrong one' });
      const [wrong, unknown] = [await attempt(email), await attempt('nobody@example.org')];
      expect(wrong.status).toBe(401);
      expect(unknown).toEqual(wrong);
      const statuses: number[] = [];
      for (let n = 0; n < 8; n++) statuses.push((await attempt(email)).status);
      expect(statuses.at(-1)).toBe(429);
      // Whoever tried has to wait even with the right password; its owner, in a browser of theirs, has not.
      expect((await stranger.ask('POST', '/api/sign-in', { email, password })).status).toBe(429);
      expect((await known.ask('POST', '/api/sign-in', { email, password })).status).toBe(200);
    } finally {
      await running.stop();
    }
  });

  it('by a link for a new password ends every other session', async () => {
    const { running, base } = await start();
    try {
      const admin = new Browser(base);
      await admin.ask('POST', '/api/sign-in', { email, password });
      const link = async (path: string, body: object) =>
        ((await admin.ask('POST', path, body)).body as { path: string }).path.split('#')[1];
      const invited = await link('/api/accounts', {
        ...{ name: 'Second', email: 'second@example.org', role: 'technician', sites: ['harbour'] },
      });
      const second = new Browser(base);
      const other = 'a van full of valves';
      expect(
        (await second.ask('POST', '/api/invitations/join', { token: invited, password: other })).status,
      ).toBe(200);
      const { id } = (await second.session()).person!;
      expect((await second.ask('GET', '/api/units/harbour/chiller-1')).status).toBe(200);
      const reset = await link(`/api/accounts/${id}/link`, {});
      const elsewhere = new Browser(base);
      const joined = await elsewhere.ask('POST', '/api/invitations/join', {
        token: reset,
        password: 'another van full of valves',
      });
      expect(joined.status).toBe(200);
      expect((await second.ask('GET', '/api/units/harbour/chiller-1')).status).toBe(401);
      expect(
        (await second.ask('POST', '/api/sign-in', { email: 'second@example.org', password: other })).status,
      ).toBe(401);
    } finally {
      await running.stop();
    }
  });

  it('has secure cookies of the host alone where the server is reached over HTTPS, and accounts let it start', async () => {
    const { running, base } = await start({ HOST: '0.0.0.0', PUBLIC_URL: 'https://rounds.example' });
    try {
      const browser = new Browser(base);
      await until('the server', async () => (await fetch(`${base}/api/session`)).status === 200);
      expect((await browser.ask('POST', '/api/sign-in', { email, password })).status).toBe(200);
      const line = browser.set.find((entry) => entry.startsWith('__Host-coldrounds-session='))!;
      expect(line).toMatch(/Secure/);
      const first = new Map(browser.cookies);
      expect((await browser.ask('POST', '/api/sign-in', { email, password })).status).toBe(200);
      const replaced = new Browser(base);
      for (const [name, value] of first) replaced.cookies.set(name, value);
      expect((await replaced.ask('GET', '/api/rounds')).status).toBe(401);
      expect(line).toMatch(/Path=\//);
      expect((await browser.ask('GET', '/api/rounds')).status).toBe(200);
      // RFC 6797; OWASP ASVS 5.0, 3.4.1: a year, for subdomains too.
      for (const path of ['/api/session', '/api/rounds', '/api/nothing', '/metrics', '/nothing'])
        expect((await fetch(base + path)).headers.get('strict-transport-security'), path).toBe(
          'max-age=31536000; includeSubDomains',
        );
    } finally {
      await running.stop();
    }
  });
});
