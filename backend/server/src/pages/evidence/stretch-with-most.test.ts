import { describe, expect, it } from 'vitest';
import { stretchWithMost } from './stretch-with-most.js';

describe('the stretch with the most cycles', () => {
  it('holds the dense part, in its middle', () => {
    // 10, 20, 30 fit into 30 s; 100 and 190 stand alone.
    expect(stretchWithMost([100, 10, 20, 30, 190], 30)).toBe(5);
  });
  it('takes the latest of equals', () => {
    expect(stretchWithMost([0, 10, 100, 110], 20)).toBe(95);
  });
  it('does not exist without times', () => {
    expect(stretchWithMost([], 20)).toBeNull();
  });
});
