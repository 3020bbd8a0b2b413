import { Secret, TOTP } from 'otpauth';
import { pino } from 'pino';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { type RunningServer, startServer } from '../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { PasswordHasher } from '../../backend/server/src/people/sign-in/passwords.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { type MailServer, startMailServer } from '../support/mail-server.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { addPerson, type TestPerson } from '../support/store/people.js';
import { violationsOf } from './support/axe.js';
import { fitsWidth, launchBrowser, openPage } from './support/browser.js';

vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

describe('the pages of messages and of signing in', () => {
  let server: DatabaseServer;
  let database: Database;
  let mail: MailServer;
  let running: RunningServer;
  let browser: Browser;
  let base: string;
  let administrator: TestPerson;

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database);
    administrator = await addPerson(database, 'administrator');
    mail = await startMailServer();
    const port = await freePort();
    base = `http://localhost:${port}`;
    running = await startServer(
      readConfig({
        ...{ DATABASE_URL: url, PORT: String(port), ROLES: 'api', LOG_LEVEL: 'silent' },
        ...{ SMTP_HOST: '127.0.0.1', SMTP_PORT: String(mail.port), SMTP_TLS: 'off' },
        ...{ SMTP_FROM: 'Coldrounds <rounds@example.org>', WEBHOOKS_TO_PRIVATE_ADDRESSES: 'on' },
        ...{ OPENID_ISSUER: 'https://identity.example.org', OPENID_CLIENT_ID: 'coldrounds' },
        ...{ OPENID_CLIENT_SECRET: 'a secret of these tests only', OPENID_NAME: 'the works' },
      }),
      pino({ level: 'silent' }),
    );
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await running?.stop();
    await mail?.stop();
    await database?.close();
    await server?.stop();
  });

  /** A page in which the administrator is signed in. */
  const open = async (path: string, width: number, scheme: 'light' | 'dark' = 'light') => {
    const { page, faults } = await openPage(browser, width, 900, scheme);
    const { cookie } = await administrator.headers();
    const [name, value] = cookie.split('=');
    await page.context().addCookies([{ name, value, url: base }]);
    await page.goto(base + path);
    return { page, faults };
  };

  it('offer the OpenID provider beside the password, and say why it did not succeed', async () => {
    const { page, faults } = await openPage(browser, 390, 900);
    await page.goto(`${base}/fleet?sort=site#no-account`);
    await page.getByText('There is no account for you here.').waitFor();
    const link = page.getByRole('link', { name: 'Sign in by the works' });
    expect(await link.getAttribute('href')).toBe('/api/sign-in/openid?to=%2Ffleet%3Fsort%3Dsite');
    expect(await fitsWidth(page)).toBe(true);
    expect(await violationsOf(page)).toEqual([]);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('let a person choose a digest and alerts, and send a test that arrives', async () => {
    const { page, faults } = await open('/account', 390);
    await page.getByRole('link', { name: 'Messages to you' }).click();
    await page.getByRole('heading', { name: 'Messages to you' }).waitFor();
    await page.getByLabel(/the round once a day/).check();
    // Hours away from now, so that no digest comes between.
    const time = `${String((new Date().getUTCHours() + 12) % 24).padStart(2, '0')}:15`;
    await page.getByLabel('At', { exact: true }).fill(time);
    await page.getByLabel('Saturday').check();
    await page.getByLabel(/at once, when a unit/).check();
    await page.getByLabel('quiet hours').check();
    await page.getByLabel('Time zone').fill('Europe/Lisbon');
    await page.getByRole('button', { name: 'Keep' }).click();
    await page.getByText('Kept.').waitFor();
    await page.getByRole('button', { name: 'Send me a test' }).click();
    await page.getByText(/^written .*, sent /).waitFor();
    expect(mail.received.map((one) => one.header('subject'))).toEqual(['Coldrounds: a test']);
    await page.reload();
    await page.getByLabel('At', { exact: true }).waitFor();
    expect(await page.getByLabel('At', { exact: true }).inputValue()).toBe(time);
    expect(await page.getByLabel('Saturday').isChecked()).toBe(true);
    expect(await page.getByLabel('Sunday').isChecked()).toBe(false);
    expect(await fitsWidth(page)).toBe(true);
    expect(await violationsOf(page)).toEqual([]);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('let a person set up a second factor, which the next sign-in asks for', async () => {
    const password = 'seven chillers on the roof';
    const { rows } = await database.query<{ email: string }>(
      'update person set password_hash = $1 where id = $2 returning email',
      [await new PasswordHasher().hash(password), administrator.id],
    );
    const { page, faults } = await open('/account', 390);
    await page.getByText('This browser').waitFor();
    await page.getByLabel('Your password').fill(password);
    await page.getByRole('button', { name: 'Set up a second factor' }).click();
    await page.getByRole('img', { name: /QR code/ }).waitFor();
    expect(await fitsWidth(page)).toBe(true);
    expect(await violationsOf(page)).toEqual([]);
    const secret = Secret.fromBase32((await page.locator('form code').innerText()).replaceAll(' ', ''));
    await page.getByLabel('The code it shows').fill(TOTP.generate({ secret }));
    await page.getByRole('button', { name: 'Confirm' }).click();
    const codes = page.locator('.recovery-codes code');
    await codes.first().waitFor();
    expect(await codes.count()).toBe(10);
    const recoveryCode = await codes.first().innerText();
    await page.emulateMedia({ colorScheme: 'dark' });
    expect(await fitsWidth(page)).toBe(true);
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole('button', { name: 'I have kept them' }).click();
    await page.getByText('10 recovery codes are left').waitFor();
    await page.goto(`${base}/accounts`);
    await page.getByRole('checkbox', { name: 'engineer' }).waitFor();
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole('button', { name: 'Sign out', exact: true }).click();
    await page.getByRole('heading', { name: 'Sign in', exact: true }).waitFor();
    await page.getByLabel('E-mail').fill(rows[0].email);
    await page.getByLabel('Password').fill(password);
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await page.getByLabel('Code', { exact: true }).fill(recoveryCode);
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await page.getByRole('button', { name: 'Sign out', exact: true }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  it('show an administrator the mail server, webhooks with their messages, and what was given up', async () => {
    const { page, faults } = await open('/outgoing', 390, 'dark');
    await page.getByRole('button', { name: 'Check the connection' }).click();
    await page.getByText('The mail server lets this server in.').waitFor();
    await page.getByLabel('Name').fill('The works');
    // Nothing listens there: the message is tried, and tried again later.
    await page.getByLabel('Address').fill(`http://127.0.0.1:${await freePort()}/told`);
    await page.getByRole('button', { name: 'Make the webhook' }).click();
    await page.getByText(/The secret, shown only now/).waitFor();
    await page.getByRole('button', { name: /change, test, last messages/ }).click();
    await page.getByRole('button', { name: 'Send a test' }).click();
    await page.getByText(/not taken after one try/).waitFor();
    await database.query('update outbox set dead_at = now() where webhook_id is not null');
    await page.reload();
    await page.getByRole('button', { name: /^Send again/ }).waitFor();
    expect(await fitsWidth(page)).toBe(true);
    expect(await violationsOf(page)).toEqual([]);
    await page.getByRole('button', { name: /^Send again/ }).click();
    await page.getByRole('button', { name: /^Send again/ }).waitFor({ state: 'detached' });
    expect(faults).toEqual([]);
    await page.close();
  });
});
