// @vitest-environment jsdom
import { act, cleanup, render } from '@testing-library/preact';
import { afterEach, describe, expect, it } from 'vitest';
import { plainTheme } from '../../../../charts/theme.js';
import { LiveSpan } from '../live-span.js';
import { TimeMarks } from './time-marks.js';

const hour_s = 3600;
const width = 52 + 1000 + 16;
afterEach(cleanup);

/** Where each word of the axis stands, px from the left end of the axis. */
function places(): Record<string, number> {
  const words = document.querySelector<HTMLElement>('.time-words')!;
  const shift = Number(/translateX\((-?[\d.]+)px\)/.exec(words.style.transform)![1]);
  return Object.fromEntries(
    [...words.querySelectorAll('text')].map((text) => [
      text.textContent,
      Number(text.getAttribute('x')) + shift,
    ]),
  );
}

function start() {
  const live = new LiveSpan({ from_s: 0, to_s: 10 * hour_s });
  const theme = { ...plainTheme, zone: 'UTC' };
  render(<TimeMarks live={live} markers={[]} theme={theme} narrow={false} width={width} />);
  return live;
}

describe('marks of a time axis', () => {
  it('stand at their times, and none beyond its ends', () => {
    start();
    expect(places()['05:00']).toBeCloseTo(500, 0);
    for (const place of Object.values(places())) {
      expect(place).toBeGreaterThanOrEqual(0);
      expect(place).toBeLessThanOrEqual(1000);
    }
  });
  it('go exactly as far as a drag, and those that it brings into view are there', () => {
    const live = start();
    act(() => live.set({ from_s: hour_s, to_s: 11 * hour_s }, true));
    expect(places()['05:00']).toBeCloseTo(400, 0);
    const made = document.querySelector('.time-words')!.innerHTML;
    act(() => live.set({ from_s: 2 * hour_s, to_s: 12 * hour_s }, true));
    expect(document.querySelector('.time-words')!.innerHTML).toBe(made);
    expect(places()['05:00']).toBeCloseTo(300, 0);
    expect(places()['12:00']).toBeCloseTo(1000, 0);
    act(() => live.set({ from_s: 8 * hour_s, to_s: 18 * hour_s }, true));
    expect(places()['18:00']).toBeCloseTo(1000, 0);
  });
  it('are made anew by a zoom and when it rests', () => {
    const live = start();
    act(() => live.set({ from_s: 4 * hour_s, to_s: 6 * hour_s }, true));
    expect(places()['05:00']).toBeCloseTo(500, 0);
    expect(places()['04:30']).toBeCloseTo(250, 0);
    act(() => live.set({ from_s: 4 * hour_s, to_s: 6 * hour_s }, false));
    expect(places()['05:00']).toBeCloseTo(500, 0);
    expect(Math.min(...Object.values(places()))).toBeGreaterThanOrEqual(0);
  });
});
