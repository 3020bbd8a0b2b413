import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Browser } from 'playwright-core';
import { fitsWidth, launchBrowser, openPage } from './support/browser.js';
import { removeFolder, startRun, temporaryFolder, type StartedRun } from './support/embedded-run.js';

interface Round {
  units: { site: { key: string }; unit: { key: string; name: string }; findings: unknown[] }[];
}

describe('the round of the invented fleet, from telemetry that came in over MQTT', () => {
  let dataDir: string;
  let run: StartedRun;
  let browser: Browser;

  beforeAll(async () => {
    dataDir = await temporaryFolder();
    run = await startRun(dataDir);
    await run.printed(/the first round is ranked/, 180_000);
    browser = await launchBrowser();
  }, 240_000);

  afterAll(async () => {
    await browser?.close();
    await run?.interrupt();
    await removeFolder(dataDir);
  });

  it.each([1440, 390])('shows the ranked units at %i px and opens the first one', async (width) => {
    const { page, faults } = await openPage(browser, width);
    await page.goto(run.address);
    const round = (await (await fetch(`${run.address}/api/rounds`)).json()) as Round;
    const first = round.units[0];
    await page.getByRole('link', { name: first.unit.name }).first().waitFor();
    expect(await fitsWidth(page)).toBe(true);
    await page.getByRole('link', { name: first.unit.name }).first().click();
    await page.waitForURL(`**/units/**`);
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await fitsWidth(page)).toBe(true);
    expect(faults).toEqual([]);
    await page.close();
  });

  it('keeps its data over a second start', async () => {
    const before = (await (await fetch(`${run.address}/api/progress`)).json()) as { readings: number };
    expect(await run.interrupt()).toBe(0);
    run = await startRun(dataDir, { DEMO: 'off' });
    await run.printed(/the server answers/);
    // Until the store is ready all but the health answers 503.
    let answer = await fetch(`${run.address}/api/progress`);
    for (let attempt = 0; answer.status === 503 && attempt < 60; attempt++) {
      await new Promise((done) => setTimeout(done, 500));
      answer = await fetch(`${run.address}/api/progress`);
    }
    const after = (await answer.json()) as { readings: number };
    expect(after.readings).toBeGreaterThanOrEqual(before.readings);
    expect(before.readings).toBeGreaterThan(0);
  });
});
