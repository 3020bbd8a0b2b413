/**
 * `npm run bench:pages`: how heavy and how quick the round and a unit's page are in a real browser, over the demo.
 * Prints one line `pages: NAME VALUE UNIT (at most LIMIT)` each and ends with code 1 where one misses its limit.
 *
 * BREAKDOWN=1 also prints what each request of the round and the unit's page weighs. BASE_URL measures a run that is there; left out, one is started and waited for until its history is judged.
 * Sizes are bytes on the wire as the browser counts them, compressed, with an empty cache. Times are taken at
 * 1.6 Mbit/s, 150 ms and a quarter of the processor, those of gestures on a time chart at a quarter of the processor; on
 * a machine that is busy with other things they say little.
 */
import type { CDPSession, Page } from 'playwright-core';
import { launchBrowser } from '../end-to-end/support/browser.js';
import { startDemo } from '../support/demo.js';

interface Round {
  units: { site: { key: string }; unit: { key: string } }[];
}

const limits = {
  'round on the wire': [150, 'kB'],
  'unit page more on the wire': [350, 'kB'],
  'layout shift of the round': [0.05, ''],
  'layout shift of a unit': [0.05, ''],
  'layout shift of the study': [0.05, ''],
  'first unit of the round': [1.8, 's'],
  'first picture of a unit': [3.5, 's'],
  'frames of pan and zoom, p95': [50, 'ms'],
  'longest task of pan and zoom': [200, 'ms'],
} as const;
let missed = 0;

function tell(name: keyof typeof limits, value: number): void {
  const [limit, unit] = limits[name];
  if (value > limit) missed += 1;
  console.log(
    `pages: ${name} ${value.toFixed(unit === '' ? 3 : 1)} ${unit} (at most ${limit})`.replace('  ', ' '),
  );
}

const started = process.env.BASE_URL === undefined ? await startDemo() : null;
const base = process.env.BASE_URL ?? started!.address;

async function readRound(address: string): Promise<Round> {
  return (await (await fetch(`${address}/api/rounds`)).json()) as Round;
}

/** Counts what comes over the wire; with BREAKDOWN=1 each request is printed. */
function wire(devtools: CDPSession): () => number {
  let bytes = 0;
  const asked = new Map<string, string>();
  devtools.on('Network.requestWillBeSent', ({ requestId, request }) => asked.set(requestId, request.url));
  devtools.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
    bytes += encodedDataLength;
    if (process.env.BREAKDOWN) console.log(`  ${encodedDataLength} bytes ${asked.get(requestId)}`);
  });
  return () => bytes / 1000;
}

async function calm(page: Page): Promise<void> {
  await page.waitForLoadState('load');
  await page.waitForTimeout(4_000);
}

const watchShift = `
  window.shifted = 0;
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) if (!entry.hadRecentInput) window.shifted += entry.value;
  }).observe({ type: 'layout-shift', buffered: true });`;
/** Times from one frame to the next, and of all tasks over 50 ms, from now on. */
const watchFrames = `
  window.seen = { frames_ms: [], tasks_ms: [] };
  new PerformanceObserver((list) => {
    for (const entry of list.getEntries()) window.seen.tasks_ms.push(entry.duration);
  }).observe({ type: 'longtask' });
  let last = performance.now();
  requestAnimationFrame(function next(now) {
    window.seen.frames_ms.push(now - last);
    last = now;
    requestAnimationFrame(next);
  });`;
/** Presses "closer" sixteen times, 40 ms apart, by the page itself. */
const pressCloser = `(async () => {
  const closer = [...document.querySelectorAll('#time button')].find((each) => each.textContent === 'closer');
  for (let count = 0; count < 16; count += 1) {
    closer.click();
    await new Promise((resolve) => setTimeout(resolve, 40));
  }
})()`;
/**
 * When what the selector names was first on the screen, ms since the page was asked for: the frame after it was put there
 * has been painted. Asked by the page itself, as a browser that is driven looks for it every half second at last.
 */
const watchFor = (selector: string) => `
  new MutationObserver((_, observer) => {
    if (!document.querySelector(${JSON.stringify(selector)})) return;
    observer.disconnect();
    requestAnimationFrame(() => setTimeout(() => { window.shownAt_ms = performance.now(); }));
  }).observe(document, { childList: true, subtree: true });`;
const shifted = (page: Page) => page.evaluate<number>('window.shifted');

try {
  const browser = await launchBrowser({ drawnByGraphics: true });
  const unit = (await readRound(base)).units[0];
  const unitPath = `/units/${unit.site.key}/${unit.unit.key}`;
  const open = async () => {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    page.setDefaultTimeout(60_000);
    await page.addInitScript(watchShift);
    const devtools = await page.context().newCDPSession(page);
    await devtools.send('Network.enable');
    return { page, devtools };
  };

  {
    const { page, devtools } = await open();
    const received_kB = wire(devtools);
    await page.goto(base);
    await page.locator('[data-row]').first().waitFor();
    await calm(page);
    const round_kB = received_kB();
    tell('round on the wire', round_kB);
    tell('layout shift of the round', await shifted(page));
    await page.locator(`[data-row][href="${unitPath}"]`).first().click();
    await page.locator('#wrong .picture').first().waitFor();
    await calm(page);
    tell('unit page more on the wire', received_kB() - round_kB);
    await page.close();
  }
  for (const [name, path, ready] of [
    ['layout shift of a unit', unitPath, '#wrong .picture'],
    ['layout shift of the study', '/study', 'main h1'],
  ] as const) {
    const { page } = await open();
    await page.goto(base + path);
    await page.locator(ready).first().waitFor();
    await calm(page);
    tell(name, await shifted(page));
    await page.close();
  }
  for (const [name, path, ready] of [
    ['first unit of the round', '/', '[data-row]'],
    ['first picture of a unit', unitPath, '#wrong .picture'],
  ] as const) {
    const { page, devtools } = await open();
    await devtools.send('Network.emulateNetworkConditions', {
      offline: false,
      latency: 150,
      downloadThroughput: 1.6e6 / 8,
      uploadThroughput: 1.6e6 / 8,
    });
    await devtools.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    await page.addInitScript(watchFor(ready));
    await page.goto(base + path, { waitUntil: 'commit' });
    // Asked by the protocol alone: what the driver puts into a page to look for something takes 30 ms of the page's processor.
    const shownAt = async () => {
      const { result } = await devtools.send('Runtime.evaluate', { expression: 'window.shownAt_ms' });
      return result.value as number | undefined;
    };
    const begun = Date.now();
    while ((await shownAt()) === undefined && Date.now() - begun < 60_000) await page.waitForTimeout(100);
    tell(name, ((await shownAt()) ?? Infinity) / 1000);
    await page.close();
  }
  {
    const { page, devtools } = await open();
    await page.goto(base + unitPath);
    await page.locator('#time').scrollIntoViewIfNeeded();
    const chart = page.locator('#time .chart canvas').first();
    await chart.waitFor();
    await page.locator('#time .chart').scrollIntoViewIfNeeded();
    await page.locator('#time [aria-live]', { hasNotText: /Fetching/ }).waitFor();
    await devtools.send('Emulation.setCPUThrottlingRate', { rate: 4 });
    const box = (await page.locator('#time .chart').boundingBox())!;
    const [x, y] = [box.x + box.width / 2, box.y + 120];
    await page.evaluate(watchFrames);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 300, y, { steps: 60 });
    await page.mouse.move(x - 200, y, { steps: 60 });
    await page.mouse.up();
    await page.keyboard.down('Shift');
    for (let count = 0; count < 20; count += 1) {
      await page.mouse.wheel(0, count < 10 ? -60 : 60);
      await page.waitForTimeout(30);
    }
    await page.keyboard.up('Shift');
    // Up to here a gesture goes on: frames of a page at rest would make the rest of them look better.
    const frames_ms = await page.evaluate<number[]>('window.seen.frames_ms.slice()');
    const sorted = frames_ms.sort((a, b) => a - b);
    tell('frames of pan and zoom, p95', sorted[Math.ceil(0.95 * sorted.length) - 1]);
    // Tasks are counted further: a picture that was only moved meanwhile is drawn anew once it rests, and again with the
    // readings that are fetched then; and presses faster than a picture can be drawn.
    await page.waitForTimeout(3_000);
    await page.evaluate(pressCloser);
    await page.waitForTimeout(3_000);
    tell(
      'longest task of pan and zoom',
      Math.max(0, ...(await page.evaluate<number[]>('window.seen.tasks_ms'))),
    );
    await page.close();
  }
  await browser.close();
} finally {
  await started?.stop();
}
process.exit(missed === 0 ? 0 : 1);
