import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser, Page } from 'playwright-core';
import { fitsWidth, launchBrowser, openPage } from './support/browser.js';
import { temporaryFolder } from '../support/database.js';
import { removeFolder, startRun, type StartedRun } from './support/embedded-run.js';

interface UnitKeys {
  site: { key: string; name: string };
  unit: { key: string; name: string };
}
interface Round {
  units: (UnitKeys & { findings: unknown[] })[];
}

/** Three days, because the invented fleet's newest power loss lies between two and three days back. */
const demoDays = '3';

describe('the round of the invented fleet, from telemetry that came in over MQTT', () => {
  let dataDir: string;
  let run: StartedRun;
  let browser: Browser;

  beforeAll(async () => {
    dataDir = await temporaryFolder('run');
    run = await startRun(dataDir, { DEMO_DAYS: demoDays });
    await run.printed(/the first round is ranked/, 180_000);
    browser = await launchBrowser();
  }, 240_000);

  afterAll(async () => {
    await browser?.close();
    await run?.interrupt();
    await removeFolder(dataDir);
  });

  async function read<T>(path: string): Promise<T> {
    const answer = await fetch(`${run.address}${path}`);
    if (!answer.ok) throw new Error(`${answer.status} from ${path}: ${await answer.text()}`);
    return (await answer.json()) as T;
  }
  /** Long enough for a machine that judges history meanwhile. */
  const patient = { timeout: 20_000, interval: 200 };
  const unitPath = ({ site, unit }: UnitKeys) => `/units/${site.key}/${unit.key}`;
  const firstUnit = async () => (await read<Round>('/api/rounds')).units[0];
  const focused = (page: Page) => page.evaluate<string>('document.activeElement?.textContent?.trim() ?? ""');
  /** Presses Tab until the focused element fits; fails after `most`. */
  async function tabTo(page: Page, selector: string, most: number): Promise<void> {
    for (let count = 0; count < most; count += 1) {
      await page.keyboard.press('Tab');
      if (
        await page.evaluate<boolean>(`document.activeElement?.matches(${JSON.stringify(selector)}) ?? false`)
      )
        return;
    }
    throw new Error(`${most} tabs did not reach ${selector}`);
  }

  it.each([1440, 390])('shows the ranked units at %i px and opens the first one', async (width) => {
    const { page, faults } = await openPage(browser, width);
    await page.goto(run.address);
    await page.locator('[data-row]').first().waitFor();
    expect(await fitsWidth(page)).toBe(true);
    const shown = await page.locator('.row .row-place').first().innerText();
    const round = await read<Round>('/api/rounds');
    // The round may be ranked anew between both readings while history is loading: the unit is on it in any case.
    expect(round.units.some(({ site, unit }) => shown.includes(`${unit.name}, ${site.name}`))).toBe(true);
    await page.locator('[data-row]').first().click();
    await page.waitForURL(`**/units/**`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await fitsWidth(page)).toBe(true);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('leads by the keyboard alone from the round to a visit brief', async () => {
    const { page, faults } = await openPage(browser, 1440);
    await page.goto(run.address);
    await page.locator('[data-row]').nth(1).waitFor();
    await page.keyboard.press('Tab');
    expect(await focused(page)).toBe('Skip to the content');
    await page.keyboard.press('Enter');
    await tabTo(page, '[data-row]', 30);
    const first = await focused(page);
    const headlines = await page.locator('[data-row]').allInnerTexts();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowUp');
    expect(await focused(page)).toBe(first);
    await page.keyboard.press('End');
    expect(await focused(page)).toBe(headlines.at(-1)?.trim());
    await page.keyboard.press('Home');
    await page.keyboard.press('Enter');
    await page.waitForURL('**/units/*/*');
    await page.locator('#wrong').waitFor();
    await tabTo(page, 'a[href$="/brief"]', 60);
    await page.keyboard.press('Enter');
    await page.waitForURL('**/brief');
    await page.getByRole('heading', { name: 'Before hands go on it' }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  it('narrows the round by urgency and by words, and keeps the choice in the address', async () => {
    const { page } = await openPage(browser, 1440);
    const unit = await firstUnit();
    await page.goto(run.address);
    await page.locator('[data-row]').first().waitFor();
    await page.getByRole('searchbox').fill('no such word');
    await page.getByText('No unit on the round fits this choice.').waitFor();
    await page.getByRole('searchbox').fill(unit.site.name);
    await page.locator('.row', { hasText: unit.site.name }).first().waitFor();
    for (const place of await page.locator('.row .row-place').allInnerTexts())
      expect(place).toContain(unit.site.name);
    expect(new URL(page.url()).searchParams.get('q')).toBe(unit.site.name);
    await page.close();
  });

  it('changes kelvin to degrees Fahrenheit at the switch, and keeps to it', async () => {
    const { page } = await openPage(browser, 1440);
    await page.goto(run.address + unitPath(await firstUnit()));
    const superheat = page
      .locator('#now tr', { hasText: /^Superheat/ })
      .locator('td')
      .first();
    await superheat.waitFor();
    expect(await superheat.innerText()).toMatch(/ K$|^–$/);
    await page.getByLabel('Units').selectOption('inch-pound');
    await expect.poll(() => superheat.innerText(), patient).toMatch(/ °F$|^–$/);
    expect(await page.locator('#now').innerText()).toMatch(/psia/);
    await page.reload();
    await superheat.waitFor();
    expect(await superheat.innerText()).not.toMatch(/ K$/);
    await page.close();
  });

  it('fetches closer readings when a chart is zoomed by buttons, wheel and strip, and keeps place and zoom over a refresh', async () => {
    const { page, faults } = await openPage(browser, 1440);
    const spans: number[] = [];
    page.on('request', (request) => {
      const url = new URL(request.url());
      if (!/circuits\/\d+\/series$/.test(url.pathname)) return;
      spans.push(Number(url.searchParams.get('to')) - Number(url.searchParams.get('from')));
    });
    await page.goto(run.address + unitPath(await firstUnit()));
    const chart = page.locator('#time .chart canvas').first();
    await chart.waitFor();
    await page.locator('#time').scrollIntoViewIfNeeded();
    await page.getByRole('button', { name: '2 h', exact: true }).click();
    await expect.poll(() => spans.at(-1), patient).toBe(7200);
    await page.getByRole('button', { name: 'closer' }).click();
    await expect.poll(() => spans.at(-1), patient).toBe(3600);

    const box = (await chart.boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + 150);
    await page.keyboard.down('Shift');
    await page.mouse.wheel(0, -400);
    await page.keyboard.up('Shift');
    await expect.poll(() => spans.at(-1), patient).toBeLessThan(3600);
    const byWheel = spans.at(-1)!;

    await page.getByRole('button', { name: '30 d', exact: true }).click();
    await expect.poll(() => spans.at(-1), patient).toBeGreaterThan(86_400);
    const whole = spans.at(-1)!;
    await page.evaluate('document.querySelector("#time .chart canvas").scrollIntoView({ block: "end" })');
    const strip = (await chart.boundingBox())!;
    const y = strip.y + strip.height - 21;
    await page.mouse.move(strip.x + strip.width - 17, y);
    await page.mouse.down();
    await page.mouse.move(strip.x + strip.width - 200, y, { steps: 5 });
    await page.mouse.up();
    await expect.poll(() => spans.at(-1), patient).toBeLessThan(whole);

    for (let count = 0; count < 16; count += 1) await page.getByRole('button', { name: 'closer' }).click();
    await expect.poll(() => spans.at(-1), patient).toBeLessThanOrEqual(11);
    expect(byWheel).toBeGreaterThan(10);

    // Where the chart stands in the window: findings may come and go above it.
    const place = async () => (await chart.boundingBox())!.y;
    const stood = await place();
    const words = page.locator('#time [aria-live]');
    const shown = (await words.innerText()).split(',')[0];
    const refreshed = page.waitForResponse((response) => /\/api\/units\/[^/]+\/[^/]+$/.test(response.url()), {
      timeout: 45_000,
    });
    await refreshed;
    await page.waitForTimeout(500);
    expect(Math.abs((await place()) - stood)).toBeLessThan(3);
    expect((await words.innerText()).split(',')[0]).toBe(shown);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('prints the briefs of the most urgent units on one side of A4, with cautions and room for notes', async () => {
    const { page } = await openPage(browser, 1000);
    for (const unit of (await read<Round>('/api/rounds')).units.slice(0, 4)) {
      await page.goto(`${run.address}${unitPath(unit)}/brief`);
      await page.locator('.brief-notes').waitFor();
      const text = await page.locator('.brief').innerText();
      expect(text).toMatch(/Before hands go on it/);
      expect(text).toMatch(/licensed people, under the local codes/);
      expect(text).toMatch(/Coldrounds only reads/);
      const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
      const pages = pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g) ?? [];
      expect(pages, unitPath(unit)).toHaveLength(1);
    }
    await page.close();
  });

  it.each([
    [1440, 'light'],
    [390, 'dark'],
  ] as const)('lets no page stick out or fail at %i px, %s', async (width, scheme) => {
    const { page, faults } = await openPage(browser, width, 900, scheme);
    const unit = unitPath(await firstUnit());
    for (const path of [
      '/',
      unit,
      `${unit}/brief`,
      '/fleet',
      '/study',
      '/refrigerants',
      '/unread',
      '/words',
    ]) {
      await page.goto(run.address + path);
      await page.locator('main h1').first().waitFor();
      await page.waitForTimeout(800);
      expect(await fitsWidth(page), path).toBe(true);
      expect(await page.title(), path).toMatch(/Coldrounds|Visit brief/);
    }
    await page.goto(`${run.address}/no-such-page`);
    await page.getByRole('heading', { name: 'There is no such page' }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  it('replays a power loss of the last days', async () => {
    let found: UnitKeys | undefined;
    const { units } = await read<{ units: UnitKeys[] }>('/api/units');
    await expect
      .poll(
        async () => {
          for (const unit of units) {
            const losses = await read<{ powerLosses: unknown[] }>(`/api${unitPath(unit)}/power-losses`);
            if (losses.powerLosses.length > 0) found = unit;
          }
          return found !== undefined;
        },
        { timeout: 150_000, interval: 3_000 },
      )
      .toBe(true);
    const { page, faults } = await openPage(browser, 1440);
    await page.goto(run.address + unitPath(found!));
    await page.locator('#losses').getByRole('button', { name: 'Replay' }).first().click();
    await page.locator('#losses .chart canvas').waitFor();
    expect(await page.locator('#losses .loss-caution').first().innerText()).toMatch(/licensed/);
    expect(faults).toEqual([]);
    await page.close();
  }, 200_000);

  it('keeps its data over a second start', async () => {
    const before = await read<{ readings: number }>('/api/progress');
    expect(await run.interrupt()).toBe(0);
    run = await startRun(dataDir, { DEMO: 'off' });
    await run.printed(/the server answers/);
    const readings = async () =>
      (await read<{ readings: number }>('/api/progress').catch(() => null))?.readings ?? -1;
    expect(before.readings).toBeGreaterThan(0);
    // It answers before the store is open.
    await expect.poll(readings, { timeout: 60_000 }).toBeGreaterThanOrEqual(before.readings);
  });
});
