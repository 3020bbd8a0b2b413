import { hash } from '@node-rs/argon2';
import { request } from 'node:http';
import { Secret, TOTP } from 'otpauth';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startServer } from '../../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../../backend/server/src/config/index.js';
import type { Database } from '../../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../../support/store/database.js';
import { seedFleet } from '../../support/store/fleet.js';
import { addPerson } from '../../support/store/people.js';
import { until } from '../../support/publish.js';

const silent = pino({ level: 'silent' });

interface Session {
  mode: string;
  person: {
    id: number | null;
    name: string;
    role: string;
    abilities: string[];
    secondFactor: string;
  } | null;
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

/** The code of an authenticator, so many steps of 30 s from now. */
const codeOf = (secret: string, steps = 0): string =>
  TOTP.generate({ secret: Secret.fromBase32(secret), timestamp: Date.now() + steps * 30_000 });

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

  /** Somebody who signs in by a password and a second factor. */
  async function withSecondFactor(base: string, address: string) {
    const admin = new Browser(base);
    await admin.ask('POST', '/api/sign-in', { email, password });
    const name = address[0].toUpperCase() + address.slice(1, address.indexOf('@'));
    const invited = await admin.ask('POST', '/api/accounts', {
      ...{ name, email: address, role: 'technician', sites: null },
    });
    const browser = new Browser(base);
    await browser.ask('POST', '/api/invitations/join', {
      ...{ token: (invited.body as { path: string }).path.split('#')[1], password },
    });
    const begin = (typed: string) => browser.ask('POST', '/api/session/second-factor', { password: typed });
    expect((await begin('not the password')).status).toBe(400);
    const { secret } = (await begin(password)).body as { secret: string };
    const confirmed = await browser.ask('POST', '/api/session/second-factor/confirm', {
      code: codeOf(secret),
    });
    expect(confirmed.status).toBe(200);
    const { recoveryCodes } = confirmed.body as { recoveryCodes: string[] };
    return { browser, id: (await browser.session()).person!.id, secret, recoveryCodes };
  }

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

  it('makes a hash of old settings anew', async () => {
    const { running, base } = await start();
    try {
      // OWASP password storage cheat sheet: the second of its settings, with 12 MiB and 3 iterations.
      const old = await hash(password, { algorithm: 2, memoryCost: 12_288, timeCost: 3, parallelism: 1 });
      await database.query('update person set password_hash = $2 where email = $1', [email, old]);
      const browser = new Browser(base);
      const signIn = async () => (await browser.ask('POST', '/api/sign-in', { email, password })).status;
      expect(await signIn()).toBe(200);
      const { rows } = await database.query<{ hash: string }>(
        'select password_hash as hash from person where email = $1',
        [email],
      );
      expect(rows[0].hash).toMatch(/^\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
      expect(await signIn()).toBe(200);
    } finally {
      await running.stop();
    }
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

  it('asks for the second factor where the account has one, and takes each code once', async () => {
    const { running, base } = await start();
    try {
      const { browser, secret, recoveryCodes } = await withSecondFactor(base, 'factor@example.org');
      expect((await browser.session()).person?.secondFactor).toBe('on');
      const elsewhere = new Browser(base);
      const signIn = (code?: string) =>
        elsewhere.ask('POST', '/api/sign-in', { email: 'factor@example.org', password, code });
      expect(await signIn()).toMatchObject({ status: 401, body: { errors: [{ name: 'code' }] } });
      expect((await elsewhere.ask('GET', '/api/rounds')).status).toBe(401);
      // A wrong password is not told from a right one by the code.
      const wrong = { email: 'factor@example.org', password: 'wrong one', code: codeOf(secret) };
      expect((await elsewhere.ask('POST', '/api/sign-in', wrong)).body).not.toHaveProperty('errors');
      // The code by which it was set up was used; the next one is not.
      expect((await signIn(codeOf(secret, -10))).status).toBe(401);
      await database.query('update second_factor set last_step = last_step - 5');
      const code = codeOf(secret);
      expect((await signIn(code)).status).toBe(200);
      expect((await elsewhere.ask('GET', '/api/rounds')).status).toBe(200);
      expect((await signIn(code)).status).toBe(401);
      // Without the authenticator by a recovery code, each once.
      expect((await signIn(recoveryCodes[0].toUpperCase())).status).toBe(200);
      expect((await signIn(recoveryCodes[0])).status).toBe(401);
      expect((await elsewhere.ask('GET', '/api/session/second-factor/recovery-codes')).body).toEqual({
        left: 9,
      });
      const { rows } = await database.query<{ action: string; by: string | null }>(
        `select action, detail->>'secondFactor' as by from audit_entry
          where who = 'Factor' and action ~ 'factor|signed in' order by id`,
      );
      expect(rows.map(({ action, by }) => (by === null ? action : `${action}, ${by}`))).toEqual([
        'set up a second factor',
        'second factor refused',
        'signed in, code',
        'second factor refused',
        'signed in, recovery',
        'second factor refused',
      ]);
    } finally {
      await running.stop();
    }
  });

  it('does not let codes be guessed, nor keep the owner out meanwhile', async () => {
    const { running, base } = await start();
    try {
      const { secret, recoveryCodes } = await withSecondFactor(base, 'guessed@example.org');
      const signIn = async (code: string) =>
        (
          await new Browser(base).ask('POST', '/api/sign-in', {
            email: 'guessed@example.org',
            password,
            code,
          })
        ).status;
      const statuses: number[] = [];
      for (let n = 0; n < 7; n++) statuses.push(await signIn(codeOf(secret, -100 - n)));
      expect(statuses).toEqual([401, 401, 401, 401, 401, 429, 429]);
      await database.query('update second_factor set last_step = last_step - 5');
      expect(await signIn(codeOf(secret))).toBe(429);
      expect(await signIn(recoveryCodes[3])).toBe(200);
    } finally {
      await running.stop();
    }
  });

  it('is for roles that need a second factor only once they have set it up', async () => {
    const { running, base } = await start();
    try {
      const admin = new Browser(base);
      await admin.ask('POST', '/api/sign-in', { email, password });
      const person = await addPerson(database, 'engineer');
      const engineer = new Browser(base);
      const [name, value] = (await person.headers()).cookie.split('=');
      engineer.cookies.set(name, value);
      await database.query(
        `update person set password_hash = (select password_hash from person where email = $1) where id = $2`,
        [email, person.id],
      );
      expect((await engineer.ask('GET', '/api/rounds')).status).toBe(200);
      const rule = await admin.ask('PUT', '/api/second-factor-rule', { roles: ['engineer'] });
      expect(rule).toEqual({ status: 200, body: { roles: ['engineer'] } });
      expect((await engineer.session()).person).toMatchObject({ secondFactor: 'needed', abilities: [] });
      expect(await engineer.ask('GET', '/api/rounds')).toMatchObject({
        status: 403,
        body: { detail: expect.stringMatching(/set it up first/) as string },
      });
      const begun = await engineer.ask('POST', '/api/session/second-factor', { password });
      const { secret } = begun.body as { secret: string };
      const refused = await engineer.ask('POST', '/api/session/second-factor/confirm', { code: '000000' });
      expect([200, 400]).toContain(refused.status);
      if (refused.status === 400)
        await engineer.ask('POST', '/api/session/second-factor/confirm', { code: codeOf(secret) });
      expect((await engineer.ask('GET', '/api/rounds')).status).toBe(200);
      // It cannot be given up then, only taken away by an administrator, and has to be set up again.
      await database.query('update second_factor set last_step = last_step - 5');
      const both = { password, code: codeOf(secret) };
      expect((await engineer.ask('POST', '/api/session/second-factor/off', both)).status).toBe(403);
      expect((await admin.ask('DELETE', `/api/accounts/${person.id}/second-factor`)).status).toBe(204);
      expect((await admin.ask('DELETE', `/api/accounts/${person.id}/second-factor`)).status).toBe(404);
      expect((await engineer.ask('GET', '/api/rounds')).status).toBe(401);
      await admin.ask('PUT', '/api/second-factor-rule', { roles: [] });
    } finally {
      await running.stop();
    }
  });

  it('keeps the second factor through a link for a new password, and without it once it is given up', async () => {
    const { running, base } = await start();
    try {
      const { browser, id, secret, recoveryCodes } = await withSecondFactor(base, 'kept@example.org');
      const admin = new Browser(base);
      await admin.ask('POST', '/api/sign-in', { email, password });
      const link = (await admin.ask('POST', `/api/accounts/${id}/link`)).body as { path: string };
      const elsewhere = new Browser(base);
      const other = 'nine towers by the river';
      const joined = await elsewhere.ask('POST', '/api/invitations/join', {
        ...{ token: link.path.split('#')[1], password: other },
      });
      expect(joined).toMatchObject({ status: 200, body: { person: null } });
      expect((await elsewhere.ask('GET', '/api/rounds')).status).toBe(401);
      expect((await browser.ask('GET', '/api/rounds')).status).toBe(401);
      const signIn = (code?: string) =>
        elsewhere.ask('POST', '/api/sign-in', { email: 'kept@example.org', password: other, code });
      expect((await signIn()).status).toBe(401);
      expect((await signIn(recoveryCodes[1])).status).toBe(200);
      const shown = (code: string) => ({ password: other, code });
      const renewed = await elsewhere.ask(
        ...(['POST', '/api/session/second-factor/recovery-codes', shown(recoveryCodes[2])] as const),
      );
      expect((renewed.body as { recoveryCodes: string[] }).recoveryCodes).toHaveLength(10);
      expect((await signIn(recoveryCodes[4])).status).toBe(401);
      await database.query('update second_factor set last_step = last_step - 5');
      const off = (code: string) => elsewhere.ask('POST', '/api/session/second-factor/off', shown(code));
      expect((await off(codeOf(secret, -10))).status).toBe(400);
      expect(await off(codeOf(secret))).toMatchObject({
        status: 200,
        body: { person: { secondFactor: 'none' } },
      });
      expect((await signIn()).status).toBe(200);
    } finally {
      await running.stop();
    }
  });

  it('is seen by its owner, who can end one session, and ended everywhere by an administrator', async () => {
    const { running, base } = await start();
    try {
      const person = await addPerson(database, 'technician');
      const [here, there] = [new Browser(base), new Browser(base)];
      for (const browser of [here, there]) {
        const [name, value] = (await person.headers()).cookie.split('=');
        browser.cookies.set(name, value);
      }
      const listed = async () =>
        ((await here.ask('GET', '/api/sessions')).body as { sessions: { id: number; own: boolean }[] })
          .sessions;
      const sessions = await listed();
      expect(sessions.map(({ own }) => own)).toEqual([false, true]);
      const admin = new Browser(base);
      await admin.ask('POST', '/api/sign-in', { email, password });
      const foreign = sessions[0].id;
      expect((await admin.ask('DELETE', `/api/sessions/${foreign}`)).status).toBe(404);
      expect((await here.ask('DELETE', `/api/sessions/${foreign}`)).status).toBe(204);
      expect((await there.ask('GET', '/api/rounds')).status).toBe(401);
      expect(await listed()).toHaveLength(1);
      expect((await admin.ask('POST', `/api/accounts/${person.id}/sign-out`)).status).toBe(204);
      expect((await here.ask('GET', '/api/rounds')).status).toBe(401);
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
