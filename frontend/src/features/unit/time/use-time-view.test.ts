// @vitest-environment jsdom
import { act, cleanup, renderHook } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { scaled } from './span.js';
import { rest_ms, useTimeView } from './use-time-view.js';

const day = 86_400;
const extent = { from_s: 0, to_s: 30 * day };
const length = ({ from_s, to_s }: { from_s: number; to_s: number }) => to_s - from_s;
const start = () =>
  renderHook(({ all }) => useTimeView(all, { length_s: 8 * day }), { initialProps: { all: extent } });

beforeEach(() => void vi.useFakeTimers());
afterEach(() => {
  cleanup();
  vi.useRealTimers();
});

describe('the stretch of time that a chart shows', () => {
  it('adds up presses, also those that come before anything is drawn', () => {
    const { result } = start();
    act(() => {
      for (let count = 0; count < 3; count += 1) result.current.press((span) => scaled(span, 0.5));
    });
    expect(length(result.current.live.now)).toBe(day);
    expect(length(result.current.fetched)).toBe(day);
  });
  it('shows a gesture at once and fetches its readings when it rests', () => {
    const { result } = start();
    act(() => result.current.move(() => ({ from_s: day, to_s: 3 * day })));
    expect(result.current.live.now).toEqual({ from_s: day, to_s: 3 * day });
    expect(result.current.live.moving).toBe(true);
    expect(length(result.current.fetched)).toBe(8 * day);
    act(() => void vi.advanceTimersByTime(rest_ms));
    expect(result.current.fetched).toEqual({ from_s: day, to_s: 3 * day });
    expect(result.current.live.moving).toBe(false);
  });
  it('makes the page anew when a gesture begins and when it rests, and for none of its steps', () => {
    let drawn = 0;
    const { result } = renderHook(() => {
      drawn += 1;
      return useTimeView(extent, { length_s: 8 * day });
    });
    const steps: number[] = [];
    result.current.live.follow(({ from_s }) => steps.push(from_s));
    for (let step = 1; step <= 50; step += 1)
      act(() => result.current.move(() => ({ from_s: step, to_s: step + day })));
    expect(steps).toEqual(Array.from({ length: 50 }, (_, index) => index + 1));
    expect(drawn).toBe(2);
    act(() => void vi.advanceTimersByTime(rest_ms));
    expect(drawn).toBe(3);
    expect(result.current.fetched).toEqual({ from_s: 50, to_s: 50 + day });
  });
  it('loses no press that follows a gesture before the gesture has come to rest', () => {
    const { result } = start();
    act(() => result.current.move(() => ({ from_s: day, to_s: 3 * day })));
    act(() => void vi.advanceTimersByTime(rest_ms / 2));
    act(() => result.current.press((span) => scaled(span, 0.5)));
    act(() => void vi.advanceTimersByTime(10 * rest_ms));
    expect(length(result.current.live.now)).toBe(day);
    expect(length(result.current.fetched)).toBe(day);
  });
  it('stays where the reader put it when readings come in, and follows them otherwise', () => {
    const { result, rerender } = start();
    rerender({ all: { from_s: 30, to_s: 30 * day + 30 } });
    expect(result.current.live.now).toEqual({ from_s: 22 * day + 30, to_s: 30 * day + 30 });
    act(() => result.current.press(() => ({ from_s: day, to_s: 2 * day })));
    rerender({ all: { from_s: 60, to_s: 30 * day + 60 } });
    expect(result.current.live.now).toEqual({ from_s: day, to_s: 2 * day });
  });
});
