import { expect, it } from 'vitest';
import type { RegisteredSites } from '../../../api/registry/registry.js';
import { sitesWith } from './sites-with.js';

const sites = [
  ['north-hall', 'North Hall'],
  ['south-hall', 'South Hall'],
  ['clinic', 'Clinic'],
].map(([key, name]) => ({ draft: { key, name } })) as unknown as RegisteredSites['sites'];
const found = (words: string) => sitesWith(sites, words).map(({ draft }) => draft.key);

it('finds sites by all words of their name or of their name in topics, whatever the case', () => {
  expect(found('')).toHaveLength(3);
  expect(found('HALL')).toEqual(['north-hall', 'south-hall']);
  expect(found(' hall sou')).toEqual(['south-hall']);
  expect(found('north-hall')).toEqual(['north-hall']);
  expect(found('roof')).toEqual([]);
});
