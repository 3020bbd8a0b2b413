/** The words of a search, in lower case. */
export const wordsOf = (text: string | undefined): string[] =>
  (text ?? '')
    .toLowerCase()
    .split(/\s+/)
    .filter((word) => word !== '');
