import { describe, expect, it } from 'vitest';
import { Kept } from './kept.js';

describe('a kept figure', () => {
  const clocked = (took_ms: number) => {
    const clock = { now_ms: 0, made: 0 };
    const kept = new Kept(
      async () => {
        clock.now_ms += took_ms;
        return ++clock.made;
      },
      () => clock.now_ms,
    );
    return { clock, kept };
  };

  it('is worked out once for all who ask at the same time, and kept for some seconds', async () => {
    const { clock, kept } = clocked(10);
    expect(await Promise.all([kept.get(), kept.get()])).toEqual([1, 1]);
    clock.now_ms = 4_900;
    expect(await kept.get()).toBe(1);
  });

  it('is given once more when its time is over, and then anew', async () => {
    const { clock, kept } = clocked(1_000);
    await kept.get();
    clock.now_ms = 51_000;
    expect(await kept.get()).toBe(1);
    await Promise.resolve();
    expect(await kept.get()).toBe(2);
  });

  it('is waited for when it is far past its time', async () => {
    const { clock, kept } = clocked(1_000);
    await kept.get();
    clock.now_ms = 200_000;
    expect(await kept.get()).toBe(2);
  });
});
