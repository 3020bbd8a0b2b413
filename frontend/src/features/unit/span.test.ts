import { describe, expect, it } from 'vitest';
import { clampSpan, moved, scaled } from './span.js';

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
  it('moves by a share of its length and scales about its middle', () => {
    expect(moved({ from_s: 100, to_s: 200 }, -0.5)).toEqual({ from_s: 50, to_s: 150 });
    expect(scaled({ from_s: 100, to_s: 200 }, 2)).toEqual({ from_s: 50, to_s: 250 });
  });
});
