import { describe, expect, it } from 'vitest';
import { sparkPath } from './spark-path.js';

const size = { width: 106, height: 46, padding: 3 };

describe('a small line beside a sentence', () => {
  it('spans the box from corner to corner', () => {
    const path = sparkPath([0, 10], [0, 5], size);
    expect(path?.line).toBe('M3,43L103,3');
  });
  it('breaks at a missing value and at a jump in time', () => {
    expect(sparkPath([0, 10, 20, 30], [1, null, 1, 2], size)?.line.match(/M/g)).toHaveLength(2);
    expect(sparkPath([0, 10, 500, 510], [1, 2, 1, 2], { ...size, gap_s: 60 })?.line.match(/M/g)).toHaveLength(
      2,
    );
  });
  it('keeps a limit in view', () => {
    const path = sparkPath([0, 10], [5, 10], { ...size, include: [0] });
    expect(path?.levels).toEqual([43]);
    expect(path?.minimum).toBe(0);
  });
  it('draws nothing from fewer than two values', () => {
    expect(sparkPath([0, 1], [null, 1], size)).toBeNull();
  });
});
