import { describe, expect, it } from 'vitest';
import { dragged, pinched, timeAt, wheelFactor } from './gestures.js';

const axis = { left: 50, width: 1000 };
const span = { from_s: 0, to_s: 100 };

describe('gestures on a time axis', () => {
  it('drag what is under the pointer along with it', () => {
    const under = timeAt(300, span, axis);
    const after = dragged(span, 137, axis);
    expect(timeAt(300 + 137, after, axis)).toBeCloseTo(under, 9);
    expect(after.to_s - after.from_s).toBeCloseTo(100, 9);
  });
  it('pinch so that both times stay under their fingers', () => {
    const before = [250, 450] as const;
    const now = [180, 640] as const;
    const after = pinched(span, before, now, axis);
    expect(timeAt(now[0], after, axis)).toBeCloseTo(timeAt(before[0], span, axis), 9);
    expect(timeAt(now[1], after, axis)).toBeCloseTo(timeAt(before[1], span, axis), 9);
  });
  it('pinch to something finite when the fingers meet', () => {
    const after = pinched(span, [250, 450], [300, 300], axis);
    expect(after.to_s - after.from_s).toBeCloseTo(100 * (200 / 8), 9);
  });
  it('zoom in when the wheel is turned away, and back when it is turned back', () => {
    const away = wheelFactor({ deltaX: 0, deltaY: -100, deltaMode: 0 });
    expect(away).toBeLessThan(1);
    expect(away * wheelFactor({ deltaX: 0, deltaY: 100, deltaMode: 0 })).toBeCloseTo(1, 12);
  });
  it('take the sideways turn that a browser reports while Shift is held', () => {
    expect(wheelFactor({ deltaX: -100, deltaY: 0, deltaMode: 0 })).toBe(
      wheelFactor({ deltaX: 0, deltaY: -100, deltaMode: 0 }),
    );
  });
});
