import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { keepConnected, lostAfter_ms, retryEvery_ms, type LiveState } from './connection.js';

describe('a connection to the server', () => {
  const states: LiveState[] = [];
  let opened = 0;
  let closed = 0;
  const start = () =>
    keepConnected({
      connect: () => {
        opened += 1;
        return { close: () => void (closed += 1) };
      },
      told: (state) => states.push(state),
    });

  beforeEach(() => {
    vi.useFakeTimers();
    states.length = 0;
    opened = 0;
    closed = 0;
  });
  afterEach(() => vi.useRealTimers());

  it('is live from the first word on and stays so while the server is heard', () => {
    const connection = start();
    connection.heard();
    for (let seconds = 0; seconds < 120; seconds += 5) {
      vi.advanceTimersByTime(5_000);
      connection.heard();
    }
    expect(states).toEqual(['live']);
    expect(opened).toBe(1);
    connection.stop();
  });

  it('is said to be lost within 15 s of the last word, however quietly it goes', () => {
    const connection = start();
    connection.heard();
    const last = connection.lastHeard();
    vi.advanceTimersByTime(lostAfter_ms - 1);
    expect(states).toEqual(['live']);
    vi.advanceTimersByTime(15_000 - lostAfter_ms + 1);
    expect(states).toEqual(['live', 'lost']);
    expect(connection.lastHeard()).toBe(last);
    connection.stop();
  });

  it('is tried anew until the server is heard, and then is live again', () => {
    const connection = start();
    connection.heard();
    vi.advanceTimersByTime(lostAfter_ms + 4 * retryEvery_ms);
    expect(opened).toBeGreaterThan(3);
    expect(closed).toBe(opened - 1);
    connection.heard();
    expect(states).toEqual(['live', 'lost', 'live']);
    const tries = opened;
    vi.advanceTimersByTime(lostAfter_ms - 1_000);
    expect(opened).toBe(tries);
    connection.stop();
  });

  it('is lost too where it was never there', () => {
    const connection = start();
    vi.advanceTimersByTime(15_000);
    expect(states).toEqual(['lost']);
    connection.stop();
  });

  it('stays lost over a change of page, as old as it was', () => {
    const before = Date.now() - 60_000;
    const connection = keepConnected({
      connect: () => ({ close: () => {} }),
      told: (state) => states.push(state),
      heardAt_ms: before,
    });
    vi.advanceTimersByTime(1_000);
    expect(states).toEqual(['lost']);
    expect(connection.lastHeard()).toBe(before);
    connection.stop();
  });

  it('is left alone once it is stopped', () => {
    const connection = start();
    connection.stop();
    vi.advanceTimersByTime(60_000);
    expect(states).toEqual([]);
    expect([opened, closed]).toEqual([1, 1]);
  });
});
