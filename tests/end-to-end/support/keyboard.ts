import type { Page } from 'playwright-core';

/** What is wrong with where the focus is: nothing shows it, or something lies over it. Undefined: all is well. */
const faultOfFocus = `(() => {
  const focused = document.activeElement;
  if (focused === null || focused === document.body) return undefined;
  const named = focused.tagName + ' ' + (focused.getAttribute('aria-label') ?? focused.textContent ?? '').trim().slice(0, 40);
  const ringed = (element) => getComputedStyle(element).outlineStyle !== 'none' && parseFloat(getComputedStyle(element).outlineWidth) > 0;
  // A line of the round shows the ring in place of its link.
  if (!ringed(focused) && !(focused.closest('.line') && ringed(focused.closest('.line')))) return 'no ring: ' + named;
  const box = focused.getClientRects()[0];
  if (box === undefined || box.width === 0) return 'not drawn: ' + named;
  const middle = [box.left + Math.min(box.width, 60) / 2, box.top + Math.min(box.height, 40) / 2];
  const [x, y] = middle;
  if (x < 0 || y < 0 || x > innerWidth || y > innerHeight) return 'out of the window: ' + named;
  const over = document.elementFromPoint(x, y);
  const same = over !== null && (focused.contains(over) || over.contains(focused) || over.closest('label')?.contains(focused));
  return same ? undefined : 'under ' + over?.tagName + '.' + over?.className + ': ' + named;
})()`;

/**
 * Presses Tab until the focused element fits the selector and its words. At each stop the focus can be seen and nothing
 * lies over it; fails otherwise, and after `most` stops.
 */
export async function tabTo(page: Page, selector: string, words = '', most = 80): Promise<void> {
  const fits = `(() => {
    const focused = document.activeElement;
    return (focused?.matches(${JSON.stringify(selector)}) ?? false) && (focused.textContent ?? '').includes(${JSON.stringify(words)});
  })()`;
  for (let count = 0; count < most; count += 1) {
    await page.keyboard.press('Tab');
    // Drawn and scrolled to where it stays.
    await page.waitForTimeout(30);
    const fault = await page.evaluate<string | undefined>(faultOfFocus);
    if (fault !== undefined) throw new Error(`the focus cannot be seen, ${fault}`);
    if (await page.evaluate<boolean>(fits)) return;
  }
  throw new Error(`${most} tabs did not reach ${selector} ${words}`);
}
