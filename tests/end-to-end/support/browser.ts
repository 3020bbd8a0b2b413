import { chromium as playwright, type Browser, type Page } from 'playwright-core';

/** Chromium from npm alone; with this variable set before the import it unpacks its own shared libraries too. */
export async function launchBrowser(): Promise<Browser> {
  process.env.AWS_EXECUTION_ENV ??= 'AWS_Lambda_nodejs20.x';
  const { default: chromium } = await import('@sparticuz/chromium');
  // In a single process the second page would take the browser down with it.
  const args = chromium.args.filter((argument) => argument !== '--single-process');
  return playwright.launch({
    executablePath: await chromium.executablePath(),
    args,
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
