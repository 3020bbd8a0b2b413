import { fileURLToPath } from 'node:url';
import { pino } from 'pino';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { type RunningServer, startServer } from '../../backend/server/src/bin/server-process.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { EnergyRepository } from '../../backend/server/src/storage/repositories/energy.repository.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { addFinding, addPerson, type TestPerson } from '../support/store/people.js';
import { violationsInDarkAndLight, violationsOf } from './support/axe.js';
import { fitsWidth, launchBrowser, openPage } from './support/browser.js';
import { tabTo } from './support/keyboard.js';

// Two cores may be busy with other things; nothing here measures time.
vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

const root = fileURLToPath(new URL('../..', import.meta.url));
const inDays = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

describe('the life of a finding, on the pages', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let browser: Browser;
  let base: string;
  let manager: TestPerson;
  let technician: TestPerson;
  let finding: string;
  const faults: string[][] = [];

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database);
    await database.query(`update site set currency = 'EUR', energy_price_per_kwh = 0.25`);
    manager = await addPerson(database, 'manager');
    technician = await addPerson(database, 'technician');
    const port = await freePort();
    base = `http://localhost:${port}`;
    running = await startServer(
      readConfig({
        ...{ DATABASE_URL: url, PORT: String(port), ROLES: 'api', LOG_LEVEL: 'silent' },
        STATIC_DIR: `${root}frontend/dist`,
      }),
      pino({ level: 'silent' }),
    );
    browser = await launchBrowser();
  });
  afterAll(async () => {
    await browser?.close();
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  /** A page in which somebody is signed in. */
  async function pageOf(person: TestPerson, width: number): Promise<Page> {
    const opened = await openPage(browser, width);
    faults.push(opened.faults);
    const [name, value] = (await person.headers()).cookie.split('=');
    await opened.page.context().addCookies([{ name, value, url: base }]);
    return opened.page;
  }
  const raise = (urgency: string) =>
    database.query(
      `update finding set urgency = $2, document = jsonb_set(document, '{urgency}', to_jsonb($2::text)) where id = $1`,
      [finding, urgency],
    );
  /** Has the circuit of the finding give energy away, as long as findings of these conditions are open. */
  const tellEnergy = (conditions: string[]) =>
    database.transaction((client) =>
      new EnergyRepository(database).keep(client, [
        {
          circuitId: 1,
          energy: {
            ...{ conditions, from_s: 0, to_s: 1, plateaus: 9, running_h_week: 100 },
            ...{ evaporatingLost_K: null, evaporatingFrom: null, powerFrom: 'measured', missing: null },
            assumptions: [{ text: 'The compressors run as they did last week.', quantities: {} }],
            condensingGained_K: { value: 3, uncertainty: 0.3 },
            share: { value: 0.1, uncertainty: 0.01 },
            shareAgainstNormal: { value: 0.1, uncertainty: 0.01 },
            power_W: { value: 10_000, uncertainty: 300 },
            energy_J_week: { value: 100 * 3.6e6, uncertainty: 10 * 3.6e6 },
          },
        },
      ]),
    );
  /** Axe finds nothing, in light and dark; `selector` is a part that is read once the reader comes near it. */
  async function followsRules(page: Page, selector = 'main') {
    await page.locator(selector).first().scrollIntoViewIfNeeded();
    await page.locator('main [role=status]').first().waitFor({ state: 'detached' });
    expect(await violationsInDarkAndLight(page), page.url()).toEqual([]);
  }
  const standing = (page: Page, words: RegExp) =>
    page.locator('#decisions .decisions-standing', { hasText: words }).first().waitFor();
  async function chosen(page: Page, name: string) {
    await page.locator('#decisions').getByRole('button', { name, exact: true }).first().click();
    return page.locator('#decisions form');
  }

  it('is found, handed over, planned, put off, back, visited, watched, gone and counted', async () => {
    finding = await addFinding(database, 1, { condition: 'sensor-bias', urgency: 'this-week' });
    await tellEnergy(['sensor-bias']);
    const desk = await pageOf(manager, 1440);

    // Found.
    await desk.goto(base);
    await desk.locator('[data-row]').first().click();
    await desk.waitForURL('**/units/harbour/chiller-1');
    await standing(desk, /Nobody has it yet/);
    // Beside what there is to decide stands what waiting costs: 100 kWh at 0.25 EUR.
    await desk
      .locator('#decisions', {
        hasText: /Waiting gives away about 100 kWh \(80 to 120\) a week, about 25 EUR\./,
      })
      .waitFor();
    await followsRules(desk, '#energy');
    for (const path of ['/', '/portfolio', '/units/harbour/chiller-1/brief']) {
      await desk.goto(base + path);
      await desk
        .getByText(/gives away about 100 kWh/)
        .first()
        .waitFor();
      await followsRules(desk);
    }
    await desk.goto(`${base}/units/harbour/chiller-1`);

    // Handed over.
    let form = await chosen(desk, 'Hand over');
    const others = await form.locator('option', { hasText: 'technician' }).first().getAttribute('value');
    expect(others).toBe(String(technician.id));
    await form.locator('select').selectOption(others);
    await form.getByLabel('Due on').fill(inDays(2));
    await form.getByRole('button', { name: 'Hand over', exact: true }).click();
    await standing(desk, /^With Test technician \d+, due /);

    // On the technician's plan, at phone width.
    const phone = await pageOf(technician, 390);
    await phone.goto(`${base}/plan?span=week`);
    await phone.locator('.plan-finding').first().waitFor();
    expect(await phone.locator('main h1').innerText()).toMatch(/has 1 finding at 1 site/);
    expect(await fitsWidth(phone)).toBe(true);
    expect(await violationsOf(phone)).toEqual([]);
    await phone.getByRole('link', { name: 'Print all visit briefs' }).click();
    await phone.locator('.briefs .brief-notes').waitFor();
    await followsRules(phone);

    // Put off, and back when it gets more urgent.
    form = await chosen(desk, 'Put off');
    await form.getByLabel('Until', { exact: true }).fill(inDays(30));
    await form.getByLabel('Reason').fill('The next service is soon.');
    await form.getByRole('button', { name: 'Put off', exact: true }).click();
    await standing(desk, /^Put off until /);
    await raise('today');
    await desk.reload();
    await standing(desk, /^Back, because it has become more urgent/);

    // Visited.
    await phone.goto(`${base}/units/harbour/chiller-1`);
    form = await chosen(phone, 'Close after a visit');
    await form.getByLabel('What the visit found').selectOption('sensor-wrong');
    await form.getByLabel('What was done').fill('New sensor, fitted by a licensed person');
    await form.getByRole('button', { name: 'Close after a visit', exact: true }).click();
    // Watched.
    await standing(phone, /too early to tell whether the visit put it right/);

    // Gone.
    await database.query('update finding set ended_at = now() where id = $1', [finding]);
    await phone.reload();
    await phone.getByRole('heading', { name: 'After earlier visits' }).waitFor();
    await standing(phone, /It is gone since/);

    // Counted.
    await desk.goto(`${base}/accuracy`);
    await desk.getByText('Right in 1 of 1 visit').first().waitFor();
    await desk.close();
    await phone.close();
  });

  it('ends in a report to the owner of the site, which prints on A4', async () => {
    const page = await pageOf(manager, 390);
    await page.goto(`${base}/sites/harbour/report`);
    await page.locator('.report').waitFor();
    const text = await page.locator('.report').innerText();
    expect(text).toContain('New sensor, fitted by a licensed person.');
    expect(text).toContain('A sensor of the machine reads wrongly.');
    expect(text).toContain('It has been right since.');
    expect(text).toContain('Nothing is open.');
    expect(await fitsWidth(page)).toBe(true);
    expect(await violationsOf(page)).toEqual([]);
    const pdf = await page.pdf({ format: 'A4', printBackground: true });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g) ?? []).toHaveLength(1);
    await page.close();
    expect(faults.flat()).toEqual([]);
  });

  it('is found and handed over by the keyboard alone', async () => {
    await addFinding(database, 1, { condition: 'hunting', urgency: 'this-week' });
    const page = await pageOf(manager, 1440);
    await page.goto(base);
    await page.locator('[data-row]').first().waitFor();
    await tabTo(page, '.filters button', 'this week');
    await page.keyboard.press('Space');
    await page.waitForURL('**/?urgency=this-week');
    await tabTo(page, '[data-row]');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/units/harbour/chiller-1');
    await standing(page, /Nobody has it yet/);
    await tabTo(page, '#decisions button', 'Hand over');
    await page.keyboard.press('Space');
    await tabTo(page, '#decisions form select');
    // The option that begins so is chosen, as everywhere.
    await page.keyboard.type('Test technician');
    await tabTo(page, '#decisions form button', 'tomorrow');
    await page.keyboard.press('Space');
    await tabTo(page, '#decisions form textarea');
    await page.keyboard.type('Access from 8 h.');
    await tabTo(page, '#decisions form button[type=submit]');
    await page.keyboard.press('Enter');
    await standing(page, /^With Test technician \d+, due /);
    await page.close();
  });

  it('leads a technician by the keyboard alone through the page of the unit to its brief, on a phone’s width too', async () => {
    for (const width of [1440, 390]) {
      const page = await pageOf(technician, width);
      await page.goto(`${base}/units/harbour/chiller-1`);
      await page.locator('#decisions').waitFor();
      await tabTo(page, '.contents a', 'Over time');
      await page.keyboard.press('Enter');
      await page.locator('#time h2').waitFor();
      // Beneath the bar that stays at the top nothing is half covered where its links lead.
      expect(await violationsOf(page), `${width} px`).toEqual([]);
      await tabTo(page, '#sensors :is(a, button, summary), #history :is(a, button, summary)', '', 200);
      await page.reload();
      await page.locator('#decisions').waitFor();
      await tabTo(page, 'main a', 'brief');
      await page.keyboard.press('Enter');
      await page.waitForURL('**/brief');
      await page.locator('.brief-notes').waitFor();
      await tabTo(page, 'main button', 'Print');
      await page.close();
    }
  });

  it('lets an engineer ask and save a question by the keyboard alone', async () => {
    const page = await pageOf(manager, 1440);
    await page.goto(`${base}/study`);
    await page.locator('.ask form, .ask select').first().waitFor();
    await tabTo(page, '.ask-ready a', 'firmware');
    await page.keyboard.press('Enter');
    await page.waitForURL(/quantity=huntingFraction/);
    await tabTo(page, '.study-tools input');
    await page.keyboard.type('Firmware and hunting');
    await tabTo(page, '.study-tools button', 'Save');
    await page.keyboard.press('Enter');
    await page.getByRole('link', { name: 'Firmware and hunting' }).waitFor();
    await page.close();
  });
});
