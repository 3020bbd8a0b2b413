import { describe, expect, it } from 'vitest';
import { clampSpan, moved, scaled, wholeSeconds } from './span.js';

const extent = { from_s: 1000, to_s: 2000 };

describe('a stretch of time on a chart', () => {
  it('keeps its length when it is pushed back into the extent', () => {
    expect(clampSpan({ from_s: 1950, to_s: 2050 }, extent)).toEqual({ from_s: 1900, to_s: 2000 });
    expect(clampSpan({ from_s: 900, to_s: 1000 }, extent)).toEqual({ from_s: 1000, to_s: 1100 });
  });
  it('is never longer than the extent nor shorter than ten seconds', () => {
    expect(clampSpan({ from_s: 0, to_s: 9000 }, extent)).toEqual(extent);
    expect(clampSpan({ from_s: 1500, to_s: 1501 }, extent)).toEqual({ from_s: 1500, to_s: 1510 });
  });
  it('is not rounded, so that a drag on a short one is exact; what is read covers it', () => {
    const span = { from_s: 1500.25, to_s: 1510.25 };
    expect(clampSpan(span, extent)).toEqual(span);
    expect(wholeSeconds(span)).toEqual({ from_s: 1500, to_s: 1511 });
  });
  it('moves by a fraction of its length and scales about its middle', () => {
    expect(moved({ from_s: 100, to_s: 200 }, -0.5)).toEqual({ from_s: 50, to_s: 150 });
    expect(scaled({ from_s: 100, to_s: 200 }, 2)).toEqual({ from_s: 50, to_s: 250 });
  });
  it('keeps the given time in its place when it is scaled, down to ten seconds', () => {
    // A quarter from the left before and after.
    expect(scaled({ from_s: 100, to_s: 200 }, 0.4, 125)).toEqual({ from_s: 115, to_s: 155 });
    expect(scaled({ from_s: 100, to_s: 112 }, 0.5, 100)).toEqual({ from_s: 100, to_s: 110 });
  });
});
