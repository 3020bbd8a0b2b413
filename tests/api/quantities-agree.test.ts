import { describe, expect, it } from 'vitest';
import { canBeMoved, hasPeriods } from '../../backend/server/src/study/ask/member-figures.js';
import { quantities, quantitiesOf, subjects } from '../../backend/server/src/study/ask/question.js';

// The page cannot import the server's lists, and needs them before it has heard from it; it is no part of this project's types.
const file = '../../frontend/src/features/study/ask/quantity-words.ts';
const page = (await import(/* @vite-ignore */ file)) as {
  quantitiesOf: Record<string, readonly string[]>;
  quantityWords: Record<string, unknown>;
  hasCourse: (name: string) => boolean;
  canBeMoved: (name: string) => boolean;
};

describe('what the page of questions offers', () => {
  it('is what the server answers, of each subject', () => {
    for (const of of subjects)
      expect([...page.quantitiesOf[of]].sort(), of).toEqual([...quantitiesOf[of]].sort());
    expect(Object.keys(page.quantityWords).sort()).toEqual([...quantities].sort());
  });

  it('has a course over time where the server has one, and a change can move the same', () => {
    for (const name of quantities) {
      expect(page.hasCourse(name), name).toBe(hasPeriods(name));
      expect(page.canBeMoved(name), name).toBe(canBeMoved(name));
    }
  });
});
