import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { WakeableLoop } from './wakeable-loop.js';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

const failed = (error: unknown) => {
  throw error;
};

it('works at once when it is woken, and again after the pause', async () => {
  const work = vi.fn(() => Promise.resolve());
  const loop = new WakeableLoop(work, 1_000, failed);
  loop.start();
  loop.wake();
  expect(work).toHaveBeenCalledTimes(1);
  await vi.advanceTimersByTimeAsync(1_000);
  expect(work).toHaveBeenCalledTimes(2);
  await loop.stop();
});

it('begins nothing once it is stopped, though it is woken late', async () => {
  const work = vi.fn(() => Promise.resolve());
  const loop = new WakeableLoop(work, 1_000, failed);
  loop.start();
  await loop.stop();
  loop.wake();
  await vi.advanceTimersByTimeAsync(10_000);
  expect(work).not.toHaveBeenCalled();
});

it('is stopped only when what it works on is done', async () => {
  let done = false;
  const work = () => new Promise<void>((resolve) => setTimeout(() => ((done = true), resolve()), 500));
  const loop = new WakeableLoop(work, 1_000, failed);
  loop.start();
  loop.wake();
  const stopped = loop.stop();
  await vi.advanceTimersByTimeAsync(500);
  await stopped;
  expect(done).toBe(true);
});
