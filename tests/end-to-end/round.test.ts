import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Browser, Page } from 'playwright-core';
import { violationsInDarkAndLight } from './support/axe.js';
import { cuttableProxy } from './support/cuttable-proxy.js';
import { fitsWidth, launchBrowser, openPage } from './support/browser.js';
import { temporaryFolder } from '../support/store/database.js';
import { removeFolder, startRun, type StartedRun } from './support/embedded-run.js';
import { pagesAgree } from './pages-agree.js';

// Two cores that load and judge history meanwhile take their time; none of these tests measures it.
vi.setConfig({ testTimeout: 400_000, hookTimeout: 400_000 });

interface UnitKeys {
  site: { key: string; name: string };
  unit: { key: string; name: string };
}
interface Round {
  units: (UnitKeys & { findings: unknown[] })[];
}

/** Three days: of two, no energy that is given away was told in one run of two. */
const demoDays = '3';

describe('the round of the invented fleet, from telemetry that came in over MQTT', () => {
  let dataDir: string;
  let run: StartedRun;
  let browser: Browser;

  beforeAll(async () => {
    dataDir = await temporaryFolder('run');
    run = await startRun(dataDir, { DEMO_DAYS: demoDays });
    await run.printed(/the first round is ranked/, 300_000);
    browser = await launchBrowser();
  });

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
  const patient = { timeout: 60_000, interval: 200 };
  const unitPath = ({ site, unit }: UnitKeys) => `/units/${site.key}/${unit.key}`;
  const otherPages = [
    '/portfolio',
    '/changes',
    '/?group=site',
    '/fleet',
    '/data',
    '/study',
    '/study?picture=trend&quantity=huntingFraction&split=firmware',
    '/refrigerants',
    '/unread',
    '/words',
  ];
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
    // The round may be ranked anew between both readings while history is loading.
    const agree = async () => {
      const shown = await page.locator('.row .row-place').first().innerText();
      const { units } = await read<Round>('/api/rounds');
      return units.some(({ site, unit }) => shown.includes(`${unit.name}, ${site.name}`));
    };
    await expect.poll(agree, patient).toBe(true);
    await page.locator('[data-row]').first().click();
    await page.waitForURL(`**/units/**`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await fitsWidth(page)).toBe(true);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('leads by the keyboard alone from the round to a visit brief', async () => {
    const { page, faults } = await openPage(browser, 1440);
    // History is still being judged, and the round is ranked anew: here it stays as it is once there are units to walk.
    const ranked = async () => (await read<Round>('/api/rounds')).units.length;
    await expect.poll(ranked, { timeout: 300_000, interval: 1_000 }).toBeGreaterThan(1);
    // All of it on one page, or the end of the list would call for the next.
    const roundOfNow = JSON.stringify({ ...(await read<object>('/api/rounds')), next: null });
    await page.route('**/api/rounds*', (route) =>
      route.fulfill({ contentType: 'application/json', body: roundOfNow }),
    );
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
    await page.getByRole('heading', { name: 'Before you work on the unit' }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  it('narrows the round by urgency and by words, and keeps the choice in the address', async () => {
    const { page } = await openPage(browser, 1440);
    const unit = await firstUnit();
    await page.goto(run.address);
    await page.locator('[data-row]').first().waitFor();
    await page.getByRole('searchbox').fill('no such word');
    await page.getByText('No unit on the round matches this filter.').waitFor();
    await page.getByRole('searchbox').fill(unit.site.name);
    await page.locator('.row', { hasText: unit.site.name }).first().waitFor();
    for (const place of await page.locator('.row .row-place').allInnerTexts())
      expect(place).toContain(unit.site.name);
    expect(new URL(page.url()).searchParams.get('q')).toBe(unit.site.name);
    await page.close();
  });

  it('leads from a site of the portfolio to its part of the round, and shows the round by sites', async () => {
    const { page, faults } = await openPage(browser, 1440);
    await page.goto(`${run.address}/portfolio`);
    const site = page.locator('.portfolio-name').first();
    await site.waitFor();
    const name = (await site.innerText()).trim();
    await site.click();
    await page.waitForURL('**/?site=*');
    await page.locator('main h1').first().waitFor();
    await expect.poll(() => page.locator('.filters select').first().inputValue(), patient).not.toBe('');
    await page.goto(`${run.address}/?group=site`);
    const groups = page.locator('.place-group h2');
    await groups.first().waitFor();
    expect((await groups.allInnerTexts()).length).toBeGreaterThan(0);
    await page.locator('.place-group [data-row]').first().waitFor();
    expect(name).not.toBe('');
    expect(faults).toEqual([]);
    await page.close();
  });

  it('says that the connection is lost and how old the page is, and recovers by itself', async () => {
    const { page, faults } = await openPage(browser, 1440);
    const way = await cuttableProxy(run.address);
    const listening = page.waitForResponse((response) => response.url().includes('/api/events'));
    await page.goto(way.address);
    await page.locator('main h1').first().waitFor();
    await listening;
    const lost = page.getByText(/The server has not answered for/);
    way.cut();
    await lost.waitFor();
    expect(await page.locator('.strip').innerText()).toMatch(/is that old/);
    way.restore();
    await lost.waitFor({ state: 'detached' });
    expect(faults).toEqual([]);
    await page.close();
    await way.close();
  });

  it('changes kelvin to degrees Fahrenheit at the switch, and keeps to it', async () => {
    const { page } = await openPage(browser, 1440);
    await page.goto(run.address + unitPath(await firstUnit()));
    const superheat = page
      .locator('#now tr', { hasText: /^Superheat/ })
      .locator('td')
      .first();
    await superheat.waitFor();
    // Its unit ends a line; under it may stand that it is not reliable.
    expect(await superheat.innerText()).toMatch(/ K$|^–$/m);
    await page.getByLabel('Units').selectOption('inch-pound');
    await expect.poll(() => superheat.innerText(), patient).toMatch(/ °F$|^–$/m);
    expect(await page.locator('#now').innerText()).toMatch(/psig/);
    await page.getByLabel('Pressure').selectOption('absolute');
    await expect.poll(() => page.locator('#now').innerText(), patient).toMatch(/psia/);
    await page.reload();
    await superheat.waitFor();
    expect(await superheat.innerText()).not.toMatch(/ K$/m);
    await page.close();
  });

  type Requested = { from: number; to: number };
  /** The unit's page with what its time chart asks of the server. */
  async function openTimeChart() {
    const { page, faults } = await openPage(browser, 1440);
    const requested: Requested[] = [];
    page.on('request', (request) => {
      const { pathname, searchParams } = new URL(request.url());
      if (!/circuits\/\d+\/series$/.test(pathname)) return;
      requested.push({ from: Number(searchParams.get('from')), to: Number(searchParams.get('to')) });
    });
    const span = () => {
      const { from, to } = requested.at(-1) ?? { from: 0, to: 0 };
      return to - from;
    };
    const unit = await firstUnit();
    // What comes in older than all before it moves the ends of the strip, in the middle of a drag too.
    await run.printed(/history is loaded and judged/, 300_000);
    // "30 d" shows all that there is: more than a day has to have come in.
    const known_s = async () => {
      const { lastReading } = await read<{ lastReading: string }>(`/api${unitPath(unit)}`);
      const { oldestReading } = await read<{ oldestReading: string }>('/api/progress');
      return (Date.parse(lastReading) - Date.parse(oldestReading)) / 1000;
    };
    await expect.poll(known_s, { timeout: 300_000, interval: 1_000 }).toBeGreaterThan(90_000);
    await page.goto(run.address + unitPath(unit));
    // What the lines are seen through: they are drawn further than that, and moved under it.
    const chart = page.locator('#time .chart [role=img]');
    // Sections come once they are reached.
    await page.locator('#time').scrollIntoViewIfNeeded();
    await chart.locator('canvas').first().waitFor();
    await page.locator('#time').scrollIntoViewIfNeeded();
    const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
    return { page, faults, chart, requested, span, press };
  }

  /** Takes hold of the right end of the strip with the mouse. */
  async function grabStripEnd(page: Page) {
    const handle = page.getByRole('slider', { name: 'End of the time shown' });
    await handle.hover();
    await page.mouse.down();
    const at = async (name: string) => Number(await handle.getAttribute(name));
    const track = (await page.locator('.time-strip').boundingBox())!.width - 2;
    const before = await at('aria-valuenow');
    const perPixel_s = ((await at('aria-valuemax')) - (await at('aria-valuemin'))) / track;
    const box = (await handle.boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    return {
      before,
      /** Pulls it to the left and lets go; returns the time that it should stand for then. */
      pull: async (pixels: number) => {
        await page.mouse.move(x - pixels, y, { steps: 5 });
        await page.mouse.up();
        return before - pixels * perPixel_s;
      },
    };
  }

  it('fetches closer readings when a chart is zoomed by buttons, wheel and strip, and keeps place and zoom over a refresh', async () => {
    const { page, faults, chart, requested, span, press } = await openTimeChart();
    await press('2 h');
    await expect.poll(span, patient).toBe(7200);
    await press('closer');
    await expect.poll(span, patient).toBe(3600);

    const box = (await chart.boundingBox())!;
    await page.mouse.move(box.x + box.width / 2, box.y + 150);
    await page.keyboard.down('Shift');
    await page.mouse.wheel(0, -400);
    await page.keyboard.up('Shift');
    await expect.poll(span, patient).toBeLessThan(3600);
    expect(span()).toBeGreaterThan(10);

    await press('30 d');
    await expect.poll(span, patient).toBeGreaterThan(86_400);
    // With text selected, a browser would carry the selection off instead of leaving the drag to the page.
    await page.keyboard.press('Control+A');
    const strip = await grabStripEnd(page);
    const expected = await strip.pull(183);
    await expect.poll(() => requested.at(-1)!.to, patient).toBeLessThan(strip.before);
    // To the pixel, which stands for about four minutes here: only the extent may have grown by half a minute meanwhile.
    await expect.poll(() => Math.abs(requested.at(-1)!.to - expected), patient).toBeLessThan(60);

    for (let count = 0; count < 16; count += 1) await press('closer');
    await expect.poll(span, patient).toBeLessThanOrEqual(11);

    const words = page.locator('#time [aria-live]');
    await expect.poll(() => words.innerText(), patient).not.toMatch(/Fetching/);
    // Where the chart stands in the window: findings may come and go above it.
    const place = async () => (await chart.boundingBox())!.y;
    const stood = await place();
    const shown = (await words.innerText()).split(',')[0];
    const handle = page.getByRole('slider', { name: 'End of the time shown' });
    const end = async () => Number(await handle.getAttribute('aria-valuemax'));
    const endBefore = await end();
    // The next refresh brings readings of an hour more.
    await page.route(/\/api\/units\/[^/]+\/[^/]+$/, async (route) => {
      const response = await route.fetch();
      const unit = (await response.json()) as { lastReading: string };
      const later = new Date(Date.parse(unit.lastReading) + 3_600_000).toISOString();
      await route.fulfill({ response, json: { ...unit, lastReading: later } });
    });
    await expect.poll(end, patient).toBeGreaterThanOrEqual(endBefore + 3_600);
    expect(Math.abs((await place()) - stood)).toBeLessThan(3);
    expect((await words.innerText()).split(',')[0]).toBe(shown);
    expect(span()).toBeLessThanOrEqual(11);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('loses no press on a slow machine with slow answers, straight after a drag and while readings come in', async () => {
    const { page, faults, span, press } = await openTimeChart();
    let answers = 0;
    await page.route(/\/series\?/, async (route) => {
      answers += 1;
      await new Promise((resolve) => setTimeout(resolve, answers % 3 === 0 ? 700 : 150));
      // The page may have asked for something else meanwhile.
      await route.continue().catch(() => undefined);
    });
    await press('30 d');
    await expect.poll(span, patient).toBeGreaterThan(86_400);
    const devtools = await page.context().newCDPSession(page);
    const strip = await grabStripEnd(page);
    await devtools.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    await strip.pull(183);
    // Pressed by the page itself, faster than it can draw: the first ones before the drag has come to rest.
    await page.evaluate(`(async () => {
      const closer = [...document.querySelectorAll('#time button')].find((each) => each.textContent === 'closer');
      for (let count = 0; count < 16; count += 1) {
        closer.click();
        await new Promise((resolve) => setTimeout(resolve, 40));
      }
    })()`);
    await expect.poll(span, patient).toBeLessThanOrEqual(11);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('drags a chart as far as the pointer goes, and leaves the plain wheel to the page', async () => {
    const { page, faults, chart, requested, span, press } = await openTimeChart();
    await press('2 h');
    await expect.poll(span, patient).toBe(7200);
    await press('earlier');
    await page.locator('#time .chart').scrollIntoViewIfNeeded();
    const words = page.locator('#time [aria-live]');
    await expect.poll(() => words.innerText(), patient).not.toMatch(/Fetching|No readings/);
    const box = (await chart.boundingBox())!;
    const y = box.y + 150;
    /** The time that the cursor names at a place, s of the day. */
    const timeAt = async (x: number) => {
      // The cursor follows a move, not a rest.
      await page.mouse.move(x - 2, y);
      await page.mouse.move(x, y);
      // Drawn a moment later: read until it stays the same.
      let text = '';
      const rests = async () => {
        const before = text;
        text = await page.locator('#time .chart strong').first().innerText();
        return /\d\d:\d\d:\d\d/.test(text) && text === before;
      };
      await expect.poll(rests, patient).toBe(true);
      const [hours, minutes, seconds] = /(\d\d):(\d\d):(\d\d)/.exec(text)!.slice(1).map(Number);
      return hours * 3600 + minutes * 60 + seconds;
    };
    const from = box.x + box.width * 0.4;
    const grabbed = await timeAt(from);
    const endBefore = requested.at(-1)!.to;
    await page.mouse.down();
    await page.mouse.move(from + 240, y, { steps: 7 });
    await page.mouse.up();
    // The drag is drawn at once, its readings are fetched when it rests; the ends are then whole seconds, rounded outwards.
    await expect.poll(() => requested.at(-1)!.to, patient).toBeLessThan(endBefore);
    await expect.poll(() => words.innerText(), patient).not.toMatch(/Fetching/);
    // The cursor is at readings, every 10 s; a pixel is 7 s.
    const day_s = 86_400;
    const apart = (a: number, b: number) => Math.abs(((((a - b) % day_s) + 1.5 * day_s) % day_s) - day_s / 2);
    await expect.poll(async () => apart(await timeAt(from + 240), grabbed), patient).toBeLessThanOrEqual(20);

    const length = span();
    const scrolled = () => page.evaluate<number>('window.scrollY');
    const top = await scrolled();
    await page.mouse.wheel(0, 300);
    await expect.poll(scrolled, patient).toBeGreaterThan(top);
    expect(span()).toBe(length);
    await page.keyboard.down('Control');
    await page.mouse.wheel(0, -200);
    await page.keyboard.up('Control');
    await expect.poll(span, patient).toBeLessThan(length);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('prints the briefs of the most urgent units on one side of A4 or Letter, with cautions and room for notes', async () => {
    const { page } = await openPage(browser, 1000);
    for (const unit of (await read<Round>('/api/rounds')).units.slice(0, 4)) {
      await page.goto(`${run.address}${unitPath(unit)}/brief`);
      await page.locator('.brief-notes').waitFor();
      const text = await page.locator('.brief').innerText();
      // A cause stands above what shows it.
      const { diagnoses } = await read<{ diagnoses: { cause: string }[] }>(`/api${unitPath(unit)}`);
      if (diagnoses.some(({ cause }) => cause !== 'something-else'))
        expect(await page.locator('.brief-finding li').count()).toBeGreaterThan(0);
      expect(text).toMatch(/Before you work on the unit/);
      expect(text).toMatch(/licensed people, under the local codes/);
      expect(text).toMatch(/Coldrounds only reads/);
      for (const format of ['A4', 'Letter']) {
        const pdf = await page.pdf({ format, printBackground: true });
        const pages = pdf.toString('latin1').match(/\/Type\s*\/Page[^s]/g) ?? [];
        expect(pages, `${unitPath(unit)} on ${format}`).toHaveLength(1);
      }
    }
    await page.close();
  });

  it.each([
    [1440, 'light'],
    [390, 'dark'],
  ] as const)('lets no page stick out or fail at %i px, %s', async (width, scheme) => {
    const { page, faults } = await openPage(browser, width, 900, scheme);
    const unit = unitPath(await firstUnit());
    for (const path of ['/', unit, `${unit}/brief`, ...otherPages]) {
      await page.goto(run.address + path);
      await page.locator('main h1').first().waitFor();
      await page.locator('main [role=status]').first().waitFor({ state: 'detached' });
      expect(await fitsWidth(page), path).toBe(true);
      expect(await page.title(), path).toMatch(/Coldrounds|Visit brief/);
    }
    await page.goto(`${run.address}/no-such-page`);
    await page.getByRole('heading', { name: 'There is no such page' }).waitFor();
    expect(faults).toEqual([]);
    await page.close();
  });

  it.each([1440, 390])(
    'violates no rule of WCAG 2.2 AA or best practice at %i px, light and dark',
    async (width) => {
      const unit = unitPath(await firstUnit());
      const data = `/data/${(await firstUnit()).site.key}`;
      const paths = ['/', '/?view=reading', unit, data, ...otherPages, `${unit}/brief`, '/no-such-page'];
      const found: string[] = [];
      // In four tabs, each checked by a process of its own: while one waits for its page, others work.
      const tab = async () => {
        const { page } = await openPage(browser, width);
        for (let path = paths.shift(); path !== undefined; path = paths.shift())
          found.push(...(await violationsAt(page, path)));
        await page.close();
      };
      await Promise.all([tab(), tab(), tab(), tab()]);
      expect(found).toEqual([]);
    },
    // By far the longest: on a machine that fifteen others use, a quarter of an hour.
    1_200_000,
  );

  /** Of a page in light and in dark, all of it unfolded and reached. */
  async function violationsAt(page: Page, path: string): Promise<string[]> {
    await page.goto(run.address + path);
    await page.locator('main h1').first().waitFor();
    // Down the page, so that every section is there, and back.
    await page.evaluate(`(async () => {
      for (const folded of document.querySelectorAll('.unit-open')) folded.click();
      for (let y = 0; y < document.documentElement.scrollHeight; y += 600) {
        window.scrollTo(0, y);
        await new Promise((resolve) => setTimeout(resolve, 120));
      }
      window.scrollTo(0, 0);
    })()`);
    await page.locator('main [role=status]').first().waitFor({ state: 'detached' });
    return (await violationsInDarkAndLight(page)).map((each) => `${path} ${each}`);
  }

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
        { timeout: 300_000, interval: 3_000 },
      )
      .toBe(true);
    const { page, faults } = await openPage(browser, 1440);
    await page.goto(run.address + unitPath(found!));
    await page.getByRole('button', { name: 'Power losses', exact: true }).click();
    await page.locator('#losses').getByRole('button', { name: 'Replay' }).first().click();
    await page.locator('#losses .chart canvas').waitFor();
    expect(await page.locator('#losses .loss-caution').first().innerText()).toMatch(/licensed/i);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('keeps its data over a second start', async () => {
    const before = await read<{ readings: number }>('/api/progress');
    expect(await run.interrupt()).toBe(0);
    run = await startRun(dataDir, { DEMO: 'off' });
    await run.printed(/the server is running/);
    const readings = async () =>
      (await read<{ readings: number }>('/api/progress').catch(() => null))?.readings ?? -1;
    expect(before.readings).toBeGreaterThan(0);
    // It answers before the store is open.
    await expect.poll(readings, { timeout: 60_000 }).toBeGreaterThanOrEqual(before.readings);
  });

  // After the second start nothing comes in any more: what pages say of it stands still.
  pagesAgree(() => ({ address: run.address, browser }));
});
