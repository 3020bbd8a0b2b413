import { describe, expect, it } from 'vitest';
import { fractionWords, rightWords } from './accuracy-words.js';

const counts = (confirmed: number, visits: number, low: number, high: number) => ({
  ...{ confirmed, visits, otherCause: visits - confirmed, nothingFound: 0 },
  interval: { low, high },
});

describe('how often it was right, in words', () => {
  it('tells visits before fractions', () => {
    expect(rightWords(counts(7, 9, 0.456, 0.951))).toBe('Right in 7 of 9 visits');
    expect(fractionWords(counts(7, 9, 0.456, 0.951))).toBe('46 to 95 %.');
  });
  it('says that few visits are few', () => {
    expect(rightWords(counts(1, 1, 0.147, 1))).toBe('Right in 1 of 1 visit');
    expect(fractionWords(counts(1, 1, 0.147, 1))).toBe('15 to 100 %; too few visits to say more.');
  });
});
