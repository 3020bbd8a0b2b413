import { createServer, type Server } from 'node:http';
import { Provider } from 'oidc-provider';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type RunningServer, startServer } from '../../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../../backend/server/src/config/index.js';
import type { Database } from '../../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../../support/store/database.js';
import { addPerson } from '../../support/store/people.js';

/** People at the provider, by what they type there. */
const known: Record<string, { email: string; email_verified: boolean; name?: string; groups?: string[] }> = {
  ana: { email: 'Ana@example.org', email_verified: true },
  unverified: { email: 'ana@example.org', email_verified: false },
  stranger: { email: 'stranger@example.org', email_verified: true },
  heir: { email: 'ana@example.org', email_verified: true },
  fitter: {
    email: 'fitter@example.org',
    email_verified: true,
    name: 'A Fitter',
    groups: ['hall', 'service'],
  },
  guest: { email: 'guest@example.org', email_verified: true, groups: ['hall'] },
};

/** A browser that follows redirects between our server and the provider, with the cookies of each. */
class Browser {
  private readonly jars = new Map<string, Map<string, string>>();

  /** Asks once, without following. */
  async ask(url: string, form?: Record<string, string>): Promise<Response> {
    const { origin } = new URL(url);
    const jar = this.jars.get(origin) ?? new Map<string, string>();
    this.jars.set(origin, jar);
    const response = await fetch(url, {
      method: form === undefined ? 'GET' : 'POST',
      headers: {
        cookie: [...jar].map(([name, value]) => `${name}=${value}`).join('; '),
        ...(form === undefined ? {} : { 'content-type': 'application/x-www-form-urlencoded' }),
      },
      body: form === undefined ? undefined : new URLSearchParams(form),
      redirect: 'manual',
    });
    for (const line of response.headers.getSetCookie()) {
      const [pair] = line.split(';');
      const [name, value] = [pair.slice(0, pair.indexOf('=')), pair.slice(pair.indexOf('=') + 1)];
      if (value === '' || /expires=Thu, 01 Jan 1970/i.test(line)) jar.delete(name);
      else jar.set(name, value);
    }
    return response;
  }

  /** Follows redirects until a page, or an address that `stop` names. */
  async follow(first: string, form?: Record<string, string>, stop?: (url: string) => boolean) {
    let url = first;
    let response = await this.ask(url, form);
    while ([301, 302, 303, 307].includes(response.status)) {
      url = new URL(response.headers.get('location')!, url).href;
      if (stop?.(url)) break;
      response = await this.ask(url);
    }
    return { url, response };
  }

  cookie = (origin: string, name: string) => this.jars.get(origin)?.get(name);
}

describe('signing in by OpenID Connect', () => {
  let server: DatabaseServer;
  let url: string;
  let database: Database;
  let at: Server;
  let issuer: string;
  let base: string;
  let running: RunningServer;
  const clientSecret = 'a secret of these tests only';

  const startOurs = async (more: Record<string, string> = {}) => {
    const port = await freePort();
    base = `http://localhost:${port}`;
    clients[0].redirect_uris = [`${base}/api/sign-in/openid/return`];
    clients[0].post_logout_redirect_uris = [`${base}/`];
    await startProvider();
    running = await startServer(
      readConfig({
        ...{ DATABASE_URL: url, PORT: String(port), ROLES: 'api', LOG_LEVEL: 'silent' },
        ...{ OPENID_ISSUER: issuer, OPENID_CLIENT_ID: 'coldrounds', OPENID_CLIENT_SECRET: clientSecret },
        ...{ OPENID_NAME: 'the works', ...more },
      }),
      pino({ level: 'silent' }),
    );
  };
  const clients = [
    {
      ...{ client_id: 'coldrounds', client_secret: clientSecret },
      ...{ redirect_uris: [''], post_logout_redirect_uris: [''] },
    },
  ];
  let handler: ReturnType<Provider['callback']> | undefined;
  const startProvider = async () => {
    const provider = new Provider(issuer, {
      clients,
      claims: { openid: ['sub', 'groups'], email: ['email', 'email_verified'], profile: ['name'] },
      pkce: { required: () => true },
      cookies: { keys: ['a key of these tests only'] },
      findAccount: (_, id) => ({ accountId: id, claims: () => ({ sub: id, ...known[id] }) }),
    });
    handler = provider.callback();
  };

  /** Signs in at the provider as somebody and comes back; `stop` ends before our server is asked. */
  const signIn = async (browser: Browser, who: string, stop?: (url: string) => boolean) => {
    let page = await browser.follow(`${base}/api/sign-in/openid?to=/fleet`, undefined, stop);
    for (const form of [{ prompt: 'login', login: who, password: 'any' }, { prompt: 'consent' }]) {
      if (!page.url.includes('/interaction/')) break;
      await page.response.text();
      page = await browser.follow(page.url, form as Record<string, string>, stop);
    }
    return page.url;
  };
  const isReturn = (address: string) => address.startsWith(`${base}/api/sign-in/openid/return`);
  const session = async (browser: Browser) =>
    (await (await browser.ask(`${base}/api/session`)).json()) as {
      openId: string | null;
      person: { id: number; name: string; role: string } | null;
    };
  const actions = async () =>
    (await database.query<{ action: string }>('select action from audit_entry order by id')).rows.map(
      ({ action }) => action,
    );

  beforeAll(async () => {
    server = await startDatabaseServer();
    url = await server.newDatabase();
    database = await openMigrated(url);
    const port = await freePort();
    issuer = `http://localhost:${port}`;
    at = createServer((request, response) => handler!(request, response));
    await new Promise<void>((up) => at.listen(port, () => up()));
    await addPerson(database, 'administrator');
    const ana = await addPerson(database, 'technician');
    await database.query(`update person set email = 'ana@example.org', name = 'Ana' where id = $1`, [ana.id]);
    await startOurs();
  });
  afterAll(async () => {
    await running?.stop();
    at?.closeAllConnections();
    await new Promise((closed) => (at ? at.close(closed) : closed(null)));
    await database?.close();
    await server?.stop();
  });

  it('lets in who has an account with the address that the provider vouches for, and goes on to the page', async () => {
    const browser = new Browser();
    expect((await session(browser)).openId).toBe('the works');
    expect(await signIn(browser, 'ana')).toBe(`${base}/fleet`);
    expect((await session(browser)).person).toMatchObject({ name: 'Ana', role: 'technician' });
    expect(await actions()).toContain('signed in by OpenID');
    expect(browser.cookie(base, 'coldrounds-openid')).toBeUndefined();
  });

  it('knows a person by the identity, not by an address that has passed to somebody else', async () => {
    known.ana.email = 'ana-moved@example.org';
    const browser = new Browser();
    await signIn(browser, 'ana');
    expect((await session(browser)).person).toMatchObject({ name: 'Ana' });
    const heir = new Browser();
    expect(await signIn(heir, 'heir')).toBe(`${base}/#no-account`);
    expect((await session(heir)).person).toBeNull();
    known.ana.email = 'Ana@example.org';
  });

  it('refuses who has no account, and whose address nobody vouches for', async () => {
    for (const who of ['stranger', 'unverified', 'guest']) {
      const browser = new Browser();
      expect(await signIn(browser, who), who).toBe(`${base}/#no-account`);
      expect((await session(browser)).person, who).toBeNull();
    }
    expect(await actions()).toContain('sign-in by OpenID refused');
  });

  it('refuses an answer in another browser, with another state, or a second time', async () => {
    const browser = new Browser();
    const answer = await signIn(browser, 'ana', isReturn);
    expect(isReturn(answer)).toBe(true);
    const failed = async (by: Browser, address: string) => {
      const response = await by.ask(address);
      expect(response.headers.get('location')).toBe('/#sign-in-failed');
      expect((await session(by)).person).toBeNull();
    };
    await failed(new Browser(), answer);
    const forged = new URL(answer);
    forged.searchParams.set('state', 'forged');
    await failed(browser, forged.href);
    // The attempt is used up: the right answer comes too late.
    await failed(browser, answer);
  });

  it('asks by code, PKCE, state and nonce, and goes nowhere but to a page of its own', async () => {
    const browser = new Browser();
    const { url: asked } = await browser.follow(`${base}/api/sign-in/openid`, undefined, (to) =>
      to.startsWith(issuer),
    );
    const { searchParams } = new URL(asked);
    expect(Object.fromEntries(searchParams)).toMatchObject({
      ...{ response_type: 'code', code_challenge_method: 'S256', client_id: 'coldrounds' },
      ...{ scope: 'openid email profile' },
    });
    for (const name of ['state', 'nonce', 'code_challenge'])
      expect(searchParams.get(name)!.length, name).toBeGreaterThanOrEqual(43);
    expect(asked).not.toContain(clientSecret);
    for (const elsewhere of ['https://elsewhere.example/', '//elsewhere.example', '/\\elsewhere.example']) {
      const other = new Browser();
      await other.ask(`${base}/api/sign-in/openid?to=${encodeURIComponent(elsewhere)}`);
      const { rows } = await database.query<{ return_to: string }>('select return_to from openid_attempt');
      expect(rows.map(({ return_to }) => return_to)).not.toContain(elsewhere);
    }
  });

  it('ends the session here and leads to the provider to end it there', async () => {
    const browser = new Browser();
    await signIn(browser, 'ana');
    const secret = browser.cookie(base, 'coldrounds-session')!;
    const response = await fetch(`${base}/api/sign-out`, {
      method: 'POST',
      headers: { cookie: `coldrounds-session=${secret}` },
    });
    const { goOnTo } = (await response.json()) as { goOnTo: string };
    expect(goOnTo.startsWith(`${issuer}/session/end?`)).toBe(true);
    expect(new URL(goOnTo).searchParams.get('post_logout_redirect_uri')).toBe(`${base}/`);
    expect((await session(browser)).person).toBeNull();
    expect((await browser.ask(goOnTo)).status).toBe(200);
  });

  it('says so where the provider does not answer', async () => {
    const working = handler;
    await running.stop();
    await startOurs();
    handler = ((_request: unknown, response: { writeHead: (status: number) => { end: () => void } }) =>
      response.writeHead(503).end()) as never;
    const { url: end } = await new Browser().follow(`${base}/api/sign-in/openid`);
    expect(end).toBe(`${base}/#sign-in-failed`);
    handler = working;
  });

  it('makes accounts with the role that a claim gives, where that is set, and nobody else comes in then', async () => {
    await running.stop();
    await startOurs({ OPENID_ROLE_CLAIM: 'groups', OPENID_ROLES: 'bosses=manager, service=technician' });
    const browser = new Browser();
    expect(await signIn(browser, 'fitter')).toBe(`${base}/fleet`);
    expect((await session(browser)).person).toMatchObject({ name: 'A Fitter', role: 'technician' });
    known.fitter.groups = ['bosses', 'service'];
    await signIn(new Browser(), 'fitter');
    expect((await session(browser)).person).toMatchObject({ role: 'manager' });
    for (const who of ['guest', 'ana']) {
      const other = new Browser();
      expect(await signIn(other, who), who).toBe(`${base}/#no-account`);
    }
    expect(await actions()).toEqual(
      expect.arrayContaining(['made the account by OpenID', 'got the role that OpenID gives']),
    );
  });
});
