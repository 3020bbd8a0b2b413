import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { Span } from '../../span.js';
import { PicturePainter, still_ms } from './picture-painter.js';

const frame_ms = 16;
beforeEach(() => {
  vi.useFakeTimers();
  // A frame comes after what was asked for before it.
  vi.stubGlobal('window', { devicePixelRatio: 1.5 });
  vi.stubGlobal('requestAnimationFrame', (run: () => void) => setTimeout(run, frame_ms));
  vi.stubGlobal('cancelAnimationFrame', (id: number) => clearTimeout(id));
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const day = { from_s: 0, to_s: 86_400 };
const about = (from_s: number, to_s: number): Span => ({ from_s, to_s });

function start(known: Span = day, drawing_ms = 0) {
  const drawn: Span[] = [];
  const wiped: number[][] = [];
  const canvas = { setTransform: () => undefined, clearRect: (...place: number[]) => wiped.push(place) };
  const element = { style: { transform: '', width: '' }, width: 0, height: 0, getContext: () => canvas };
  const painter = new PicturePainter(element as never);
  const paint = (_: unknown, span: Span) => {
    drawn.push(span);
    // The clock of a test stands still while something runs, unless it is moved.
    vi.advanceTimersByTime(drawing_ms);
  };
  const take = () => painter.take({ paint, known, width: 1000, height: 500 });
  take();
  painter.show(about(40_000, 44_000), true);
  vi.advanceTimersByTime(frame_ms);
  return { painter, drawn, wiped, element, take };
}

describe('the picture of a stretch of time', () => {
  it('is drawn once, with a margin on either side', () => {
    const { drawn, element } = start();
    expect(drawn).toEqual([about(39_000, 45_000)]);
    expect(element.style).toMatchObject({
      transform: 'translateX(-250px)',
      width: '1500px',
      height: '500px',
    });
  });
  it('has the pixels of the screen, and is wiped before it is drawn', () => {
    const { wiped, element, take } = start();
    expect([element.width, element.height]).toEqual([2250, 750]);
    take();
    vi.advanceTimersByTime(10 * frame_ms);
    expect(wiped).toEqual([
      [0, 0, 1500, 500],
      [0, 0, 1500, 500],
    ]);
  });
  it('is only moved by a drag, exactly as far, and never drawn for it', () => {
    const { painter, drawn, element } = start();
    for (let step = 1; step <= 60; step += 1) {
      painter.show(about(40_000 - 4 * step, 44_000 - 4 * step), true);
      expect(element.style.transform).toBe(`translateX(${-250 + step}px)`);
      vi.advanceTimersByTime(frame_ms);
    }
    vi.advanceTimersByTime(10 * still_ms);
    expect(drawn).toHaveLength(1);
  });
  it('is drawn anew at once where a drag comes upon readings that are not in it', () => {
    const { painter, drawn, element } = start();
    painter.show(about(38_000, 42_000), true);
    vi.advanceTimersByTime(frame_ms);
    expect(drawn.at(-1)).toEqual(about(37_000, 43_000));
    expect(element.style.transform).toBe('translateX(-250px)');
    // Past the oldest reading there is nothing to draw.
    const short = start(about(40_000, 44_000));
    short.painter.show(about(38_000, 42_000), true);
    vi.advanceTimersByTime(10 * still_ms);
    expect(short.drawn).toHaveLength(1);
  });
  it('is stretched by a zoom and drawn anew once it rests', () => {
    const { painter, drawn, element } = start();
    for (const half of [1900, 1700, 1500]) {
      painter.show(about(42_000 - half, 42_000 + half), true);
      vi.advanceTimersByTime(still_ms / 2);
    }
    expect(drawn).toHaveLength(1);
    expect(element.style.transform).toMatch(/scaleX\(1\.33/);
    vi.advanceTimersByTime(still_ms);
    expect(drawn).toEqual([about(39_000, 45_000), about(39_750, 44_250)]);
    expect(element.style.transform).toBe('translateX(-250px)');
  });
  it('is drawn anew at the next frame where a button was pressed', () => {
    const { painter, drawn } = start();
    painter.show(about(41_000, 43_000), false);
    vi.advanceTimersByTime(frame_ms);
    expect(drawn.at(-1)).toEqual(about(40_500, 43_500));
    // What is only shifted is there already.
    painter.show(about(41_100, 43_100), false);
    vi.advanceTimersByTime(10 * still_ms);
    expect(drawn).toHaveLength(2);
  });
  it('is drawn once a frame at most, and only the newest, however many presses and readings there are', () => {
    const { painter, drawn, take } = start();
    for (let press = 0; press < 16; press += 1) {
      const half = 2000 / 2 ** press;
      painter.show(about(42_000 - half, 42_000 + half), false);
      take();
    }
    vi.advanceTimersByTime(frame_ms);
    expect(drawn).toHaveLength(2);
    expect(drawn[1].to_s - drawn[1].from_s).toBeCloseTo((1.5 * 4000) / 2 ** 15, 6);
    vi.advanceTimersByTime(10 * still_ms);
    expect(drawn).toHaveLength(2);
  });
  it('is drawn for at most a third of the time where drawing is slow, and the newest at last', () => {
    const slow = 100;
    const { painter, drawn } = start(day, slow);
    const before = performance.now();
    for (let press = 1; press <= 40; press += 1) {
      const half = 2000 / 2 ** (press / 2);
      painter.show(about(42_000 - half, 42_000 + half), true);
      vi.advanceTimersByTime(frame_ms);
    }
    const passed = performance.now() - before;
    expect((drawn.length - 1) * slow).toBeLessThanOrEqual(passed / 3 + slow);
    vi.advanceTimersByTime(1000);
    expect(drawn.at(-1)!.to_s - drawn.at(-1)!.from_s).toBeCloseTo((1.5 * 4000) / 2 ** 20, 6);
  });
  it('is drawn of new readings also when they come in the middle of a drag', () => {
    const { painter, drawn, take } = start(day, 100);
    vi.advanceTimersByTime(frame_ms);
    take();
    painter.show(about(40_010, 44_010), true);
    vi.advanceTimersByTime(1000);
    expect(drawn).toHaveLength(2);
  });
});
