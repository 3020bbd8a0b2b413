import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** All rules whose answer depends on colours: a page whose colours alone have changed need not be asked the others again. */
const rulesOfColour = ['color-contrast', 'link-in-text-block'];

/**
 * In one frame, so that no second page is opened for the result; of what is in order, axe needs to tell nothing. A page that
 * has the program of axe from before is not given it again: the second look takes half as long then.
 */
async function axe(page: Page): Promise<AxeBuilder> {
  const isThere = await page.evaluate<boolean>(`'axe' in window`);
  return new AxeBuilder({ page, ...(isThere ? { axeSource: ';' } : {}) })
    .setLegacyMode()
    .options({ resultTypes: ['violations'] });
}

async function told(builder: AxeBuilder): Promise<string[]> {
  const { violations } = await builder.analyze();
  return violations.map(
    ({ id, help, nodes }) => `${id}: ${help} (${nodes.length}×, ${nodes[0].target.join(' ')})`,
  );
}

/** What of WCAG 2.2 AA and of axe's best practice the page as it stands violates, each with the first place. */
export const violationsOf = async (page: Page): Promise<string[]> => told((await axe(page)).withTags(rules));

/** The same in dark and in light, in which the page stays; what is no matter of colours is asked once. */
export async function violationsInDarkAndLight(page: Page): Promise<string[]> {
  await page.emulateMedia({ colorScheme: 'dark' });
  const dark = await told((await axe(page)).withRules(rulesOfColour));
  await page.emulateMedia({ colorScheme: 'light' });
  const light = await violationsOf(page);
  return [...dark.map((each) => `dark: ${each}`), ...light];
}
