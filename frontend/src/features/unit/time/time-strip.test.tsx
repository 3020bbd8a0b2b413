// @vitest-environment jsdom
import { cleanup, fireEvent, render, screen } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { LiveSpan } from './live-span.js';
import type { Span } from './span.js';
import { partMoved, TimeStrip } from './time-strip.js';
import type { Change } from './use-time-view.js';

const extent = { from_s: 0, to_s: 10_000 };
let live: LiveSpan;
const move = (by: Change) => live.set(by(live.now) as Span, true);
const strip = () => <TimeStrip extent={extent} live={live} move={move} />;

beforeEach(() => {
  live = new LiveSpan({ from_s: 2000, to_s: 8000 });
  // A page of 1000 px: 10 s a pixel.
  vi.spyOn(HTMLElement.prototype, 'clientWidth', 'get').mockReturnValue(1000);
  HTMLElement.prototype.setPointerCapture = () => undefined;
});
afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

describe('the strip under a time chart', () => {
  it('moves an end exactly as far as the pointer, also when it is drawn anew meanwhile', () => {
    const { rerender } = render(strip());
    const handle = screen.getByRole('slider', { name: 'End of the time shown' });
    fireEvent.pointerDown(handle, { button: 0, clientX: 805, pointerId: 1 });
    for (const x of [790, 700, 651]) {
      fireEvent.pointerMove(handle, { clientX: x, pointerId: 1 });
      rerender(strip());
    }
    expect(live.now).toEqual({ from_s: 2000, to_s: 8000 - 154 * 10 });
    fireEvent.pointerUp(handle, { pointerId: 1 });
    fireEvent.pointerMove(handle, { clientX: 100, pointerId: 1 });
    expect(live.now.to_s).toBe(6460);
  });
  it('keeps the browser from selecting text and from carrying it off, and takes the focus itself', () => {
    render(strip());
    const handle = screen.getByRole('slider', { name: 'End of the time shown' });
    fireEvent.pointerDown(handle, { button: 0, clientX: 805, pointerId: 1 });
    expect(document.activeElement).toBe(handle);
    // False: the default was prevented.
    expect(fireEvent.mouseDown(handle)).toBe(false);
    expect(fireEvent.dragStart(handle)).toBe(false);
  });
  it('moves its parts with every step of a gesture, also before it is drawn anew', () => {
    render(strip());
    const placed = () =>
      [...document.querySelectorAll<HTMLElement>('.time-strip > *')].map(({ style }) => style.transform);
    expect(placed()).toEqual(['translateX(20cqw) scaleX(0.6)', 'translateX(20cqw)', 'translateX(80cqw)']);
    live.set({ from_s: 3000, to_s: 5000 }, true);
    expect(placed()).toEqual(['translateX(30cqw) scaleX(0.2)', 'translateX(30cqw)', 'translateX(50cqw)']);
  });
  it('moves an end by the arrow keys and to the far end by Home and End', () => {
    render(strip());
    const handle = screen.getByRole('slider', { name: 'Start of the time shown' });
    fireEvent.keyDown(handle, { key: 'ArrowRight' });
    expect(live.now).toEqual({ from_s: 2300, to_s: 8000 });
    fireEvent.keyDown(handle, { key: 'Home' });
    expect(live.now).toEqual({ from_s: 0, to_s: 8000 });
  });
  it('lets no end pass the other or leave the strip', () => {
    expect(partMoved(live.now, 'start', 99_999, extent)).toEqual({ from_s: 7990, to_s: 8000 });
    expect(partMoved(live.now, 'end', -99_999, extent)).toEqual({ from_s: 2000, to_s: 2010 });
    expect(partMoved(live.now, 'end', 99_999, extent)).toEqual({ from_s: 2000, to_s: 10_000 });
  });
});
