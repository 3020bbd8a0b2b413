import type { RegisteredSites } from '../../../api/registry/registry.js';

type Site = RegisteredSites['sites'][number];

/** Sites whose name, or name in topics, holds the words. */
export function sitesWith(sites: readonly Site[], words: string): readonly Site[] {
  const wanted = words.toLowerCase().split(/\s+/).filter(Boolean);
  return sites.filter(({ draft }) =>
    wanted.every((word) => `${draft.name} ${draft.key}`.toLowerCase().includes(word)),
  );
}
