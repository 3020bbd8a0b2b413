import type { Changes } from '../../api/types.js';

const kinds = ['new', 'worse', 'better', 'gone'] as const;
export type Kind = (typeof kinds)[number];

/** `2 new, 1 worse, 3 gone`, or that nothing changed. */
export function changeCounts(counts: Changes['counts']): string {
  const words = kinds.flatMap((kind) => (counts[kind] > 0 ? [`${counts[kind]} ${kind}`] : []));
  return words.length === 0 ? 'nothing changed' : words.join(', ');
}

export const kindWords: Record<Kind, string> = {
  new: 'New on the round',
  worse: 'More urgent',
  better: 'Less urgent',
  gone: 'No longer asking for anyone',
};

export const kindsInOrder: readonly Kind[] = kinds;
