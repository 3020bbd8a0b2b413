import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Turns } from './turns.js';

const frame_ms = 16;
beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal('requestAnimationFrame', (run: () => void) => setTimeout(run, frame_ms));
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** Four panels that say when they are drawn, each drawing taking so long. */
function start(drawing_ms = 0) {
  const turns = new Turns();
  const drawn: string[] = [];
  const panels = ['a', 'b', 'c', 'd'].map((name) => () => {
    drawn.push(name);
    vi.advanceTimersByTime(drawing_ms);
  });
  return { turns, drawn, panels };
}

describe('pictures drawn in turns', () => {
  it('come one a frame, in the order of asking, each once however often it asked', () => {
    const { turns, drawn, panels } = start();
    for (const draw of [...panels, ...panels]) turns.ask(draw);
    const seen: string[] = [];
    for (let frame = 0; frame < 6; frame += 1) {
      vi.advanceTimersByTime(frame_ms);
      seen.push(drawn.join(''));
    }
    expect(seen).toEqual(['a', 'ab', 'abc', 'abcd', 'abcd', 'abcd']);
  });
  it('leave two thirds of the time to the reader where drawing is slow and all of them ask again and again', () => {
    const slow_ms = 50;
    const { turns, drawn, panels } = start(slow_ms);
    const before = performance.now();
    while (performance.now() - before < 10_000) {
      for (const draw of panels) turns.ask(draw);
      vi.advanceTimersByTime(frame_ms);
    }
    expect(drawn.length * slow_ms).toBeLessThan((performance.now() - before) / 3 + panels.length * slow_ms);
    // None is left behind.
    const count = (name: string) => drawn.filter((each) => each === name).length;
    expect(count('a') - count('d')).toBeLessThanOrEqual(1);
    expect(count('d')).toBeGreaterThan(5);
  });
  it('are not drawn once nobody waits for them any more', () => {
    const { turns, drawn, panels } = start();
    for (const draw of panels) turns.ask(draw);
    turns.leave(panels[1]);
    vi.advanceTimersByTime(10 * frame_ms);
    expect(drawn.join('')).toBe('acd');
  });
});
