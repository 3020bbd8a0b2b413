/** Words that begin with a capital, as at the head of a sentence or a line. */
export const capitalised = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}`;
