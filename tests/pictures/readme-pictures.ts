/**
 * `npm run pictures`: takes the pictures of the README (docs/*.png) anew, of the demo as it is now.
 *
 * BASE_URL takes a run that is there, which must be a demo: problems are handed over and closed in it, as the pictures show.
 * Left out, one is started and waited for until its history is judged.
 */
import type { Locator, Page } from 'playwright-core';
import { launchBrowser, openPage } from '../end-to-end/support/browser.js';
import { startDemo } from '../support/demo.js';

const demo = process.env.BASE_URL === undefined ? await startDemo({ DEMO_DAYS: '4' }) : null;
const base = process.env.BASE_URL ?? demo!.address;
const docs = new URL('../../docs/', import.meta.url).pathname;

interface Row {
  site: { key: string };
  unit: { key: string };
  diagnoses: { cause: string }[];
}

/** Path of the first unit of the round for which the cause is named first; of the first unit where there is none. */
async function unitWith(cause: string): Promise<string> {
  const { units } = (await (await fetch(`${base}/api/rounds`)).json()) as { units: Row[] };
  const row = units.find(({ diagnoses }) => diagnoses[0]?.cause === cause) ?? units[0];
  return `/units/${row.site.key}/${row.unit.key}`;
}

/** All that the page still reads is there, and nothing lies over its foot. */
async function ready(page: Page): Promise<void> {
  await page.locator('main h1').first().waitFor();
  await page.locator('main [role=status]').first().waitFor({ state: 'detached' });
  await page.waitForTimeout(3_000);
  // Pictures of evidence that are in the window; each has its room before it is drawn.
  const drawn = `[...document.querySelectorAll('.evidence-small, .evidence-large')]
    .filter((box) => {
      const { top, width } = box.getBoundingClientRect();
      return width > 0 && top >= 0 && top < innerHeight;
    })
    .every((box) => box.querySelector('svg, .evidence-none') !== null)`;
  for (let count = 0; count < 200 && !(await page.evaluate<boolean>(drawn)); count += 1)
    await page.waitForTimeout(300);
  await page.addStyleTag({ content: '.strips { display: none }' });
}

async function open(path: string, width: number): Promise<Page> {
  const { page } = await openPage(browser, width);
  await page.goto(base + path);
  await ready(page);
  return page;
}

/** Goes on as somebody else; the demo allows it. */
async function goOnAs(page: Page, name: string): Promise<void> {
  const you = page.getByLabel('You are');
  const options = await you.locator('option').allInnerTexts();
  await you.selectOption({ label: options.find((each) => each.startsWith(name))! });
  await ready(page);
}

async function save(what: Page | Locator, name: string): Promise<void> {
  await what.screenshot({ path: `${docs}${name}.png` });
  console.log(`pictures: docs/${name}.png`);
}

/** Asks the field study a question that it offers. */
async function ask(question: string, width: number): Promise<Page> {
  const study = await open('/study', width);
  await study.getByRole('link', { name: question }).click();
  await ready(study);
  return study;
}

const browser = await launchBrowser();
try {
  const hunting = await unitWith('loop-tuned-too-hard');

  const round = await open('/', 1440);
  await save(round, 'round');
  await round.close();

  const unit = await open(hunting, 1440);
  await save(unit, 'unit');

  // Handed over.
  const entry = unit.locator('#decisions li').first();
  await entry.getByRole('button', { name: 'Hand over', exact: true }).click();
  const technician = entry.locator('option', { hasText: 'technician' }).first();
  const name = (await technician.innerText()).split(',')[0];
  await entry.locator('select').selectOption({ label: await technician.innerText() });
  await entry.getByRole('button', { name: 'in a week' }).click();
  await entry.getByLabel('What to mind').fill('Access by the roof from 8 h.');
  await save(entry, 'hand-over');
  await entry.getByRole('button', { name: 'Hand over', exact: true }).last().click();
  await entry.getByText(`With ${name}`).waitFor();
  await unit.close();

  // On the technician's plan.
  const phone = await open('/plan?span=week', 390);
  await goOnAs(phone, name);
  await phone.goto(`${base}/plan?span=week`);
  await ready(phone);
  await phone.locator('.plan-finding').first().waitFor();
  await save(phone.locator('main'), 'plan');

  // Closed after the visit.
  await phone.goto(base + hunting);
  await ready(phone);
  await phone.locator('#decisions').scrollIntoViewIfNeeded();
  const visited = phone.locator('#decisions li').first();
  await visited.getByRole('button', { name: 'Close after a visit', exact: true }).click();
  await visited.getByLabel('What the visit found').selectOption('loop-tuned-too-hard');
  await visited
    .getByLabel('What was done')
    .fill('Gain of the superheat loop lowered by a licensed person, as advised.');
  await save(visited.locator('form'), 'visit');
  await visited.getByRole('button', { name: 'Close after a visit', exact: true }).last().click();
  await visited.locator('form').waitFor({ state: 'detached' });
  await phone.close();

  const report = await open(`/sites/${hunting.split('/')[2]}/report`, 1000);
  await save(report.locator('.report'), 'report');
  await report.close();

  const study = await ask('Which valves wear fastest?', 1440);
  await study.addStyleTag({ content: '.ask details { display: none }' });
  await save(study.locator('.ask'), 'study');
  await study.close();

  // Of these the answer alone: from its heading to the note under it.
  for (const [question, name] of [
    ['How much superheat is given away?', 'study-superheat'],
    ['Does newer firmware hunt less?', 'study-hunting'],
  ]) {
    const answered = await ask(question, 1040);
    const note = answered.locator('.ask .study-note').first();
    await answered.evaluate('window.scrollTo(0, 0)');
    const [from, to] = [
      (await answered.locator('.ask h3').first().boundingBox())!,
      (await note.boundingBox())!,
    ];
    const clip = { x: 0, y: from.y - 10, width: 1040, height: to.y + to.height - from.y + 20 };
    await answered.screenshot({ path: `${docs}${name}.png`, clip, fullPage: true });
    console.log(`pictures: docs/${name}.png`);
    await answered.close();
  }
} finally {
  await browser.close();
  await demo?.stop();
}
process.exit(0);
