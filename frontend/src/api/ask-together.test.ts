import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { askTogether } from './ask-together.js';

describe('asking together', () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());

  it('asks once for all that is wanted within 20 ms, each key once, and no more than so many at a time', async () => {
    const asked: string[][] = [];
    const ask = askTogether(2, (keys) => {
      asked.push(keys);
      return Promise.resolve(new Map([['a', 1]]));
    });
    const answers = Promise.all([ask('a'), ask('a'), ask('b')]);
    await vi.advanceTimersByTimeAsync(20);
    expect(await answers).toEqual([1, 1, null]);
    expect(asked).toEqual([['a'], ['b']]);
    const later = ask('a');
    await vi.advanceTimersByTimeAsync(20);
    expect(await later).toBe(1);
    expect(asked).toHaveLength(3);
  });

  it('fails for everybody who was part of the question, and not for the next', async () => {
    let fails = true;
    const ask = askTogether(9, () =>
      fails ? Promise.reject(new Error('No answer.')) : Promise.resolve(new Map()),
    );
    const both = Promise.allSettled([ask('a'), ask('b')]);
    await vi.advanceTimersByTimeAsync(20);
    expect((await both).map(({ status }) => status)).toEqual(['rejected', 'rejected']);
    fails = false;
    const next = ask('a');
    await vi.advanceTimersByTimeAsync(20);
    expect(await next).toBeNull();
  });
});
