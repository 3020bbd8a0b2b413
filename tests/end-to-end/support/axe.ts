import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from 'playwright-core';

const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** What of WCAG 2.2 AA and of axe's best practice the page as it stands violates, each with the first place. */
export async function violationsOf(page: Page): Promise<string[]> {
  // In one frame, so that no second page is opened for the result.
  const { violations } = await new AxeBuilder({ page }).setLegacyMode().withTags(rules).analyze();
  return violations.map(
    ({ id, help, nodes }) => `${id}: ${help} (${nodes.length}×, ${nodes[0].target.join(' ')})`,
  );
}
