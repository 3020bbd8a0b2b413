import { chromium as playwright, type Browser, type Page } from 'playwright-core';

/** What has the pages composed by a graphics card of software, which takes as much of the processor again as drawing them. */
const graphics = [
  '--ignore-gpu-blocklist',
  '--in-process-gpu',
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
];

async function fromNpm() {
  // With this variable set before the import it unpacks its own shared libraries too.
  process.env.AWS_EXECUTION_ENV ??= 'AWS_Lambda_nodejs20.x';
  return (await import('@sparticuz/chromium')).default;
}

/** Unpacks Chromium. Where nobody has, the first launch does it, and a second one meanwhile would start half of a browser. */
export const unpackBrowser = async (): Promise<string> => (await fromNpm()).executablePath();

/** Chromium from npm alone; with `drawnByGraphics` its pages are composed as for a person with a graphics card. */
export async function launchBrowser({ drawnByGraphics = false } = {}): Promise<Browser> {
  const chromium = await fromNpm();
  // In a single process the second page would take the browser down with it.
  const unwanted = ['--single-process', ...(drawnByGraphics ? [] : graphics)];
  return playwright.launch({
    executablePath: await chromium.executablePath(),
    args: [
      ...chromium.args.filter((argument) => !unwanted.includes(argument)),
      ...(drawnByGraphics ? [] : ['--disable-gpu']),
    ],
    headless: true,
  });
}

/** A page that remembers what went wrong in it: script errors, and answers of the server of 500 and above. */
export async function openPage(
  browser: Browser,
  width: number,
  height = 900,
  colorScheme: 'light' | 'dark' = 'light',
): Promise<{ page: Page; faults: string[] }> {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme });
  // On two cores that judge history meanwhile, a page may take its time.
  page.setDefaultTimeout(60_000);
  const faults: string[] = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('response', (response) => {
    if (response.status() >= 500) faults.push(`${response.status()} ${response.url()}`);
  });
  return { page, faults };
}

/** True when nothing sticks out to the right of the window. */
export const fitsWidth = (page: Page) =>
  page.evaluate('document.documentElement.scrollWidth <= document.documentElement.clientWidth + 1');
