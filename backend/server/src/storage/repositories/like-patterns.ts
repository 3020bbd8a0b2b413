/** Patterns for `like`, each true of a text that contains the word; the signs of patterns stand for themselves. */
export const containing = (words: readonly string[]): string[] =>
  words.map((word) => `%${word.replace(/[\\%_]/g, '\\$&')}%`);
