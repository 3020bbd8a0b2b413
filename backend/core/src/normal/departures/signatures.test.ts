import { describe, expect, it } from 'vitest';
import type { PointReading } from '../quantities/operating-point.js';
import { atLoads, loadEdges } from './signatures.js';

const reading: PointReading = {
  loadSource: 'water-heat',
  fullLoad: 1,
  used: ['sink', 'load'],
  centre: [0, 0],
};
const at = (...loads: number[]) => loads.map((load) => ({ point: [9, load] }));

describe('plateaus by load', () => {
  it('are parted by thirds of the range of loads that nine of ten lie in', () => {
    const many = at(...Array.from({ length: 101 }, (_, k) => k / 100));
    const [low, high] = loadEdges(reading, many)!;
    expect(low).toBeCloseTo(0.05 + 0.3, 9);
    expect(high).toBeCloseTo(0.05 + 0.6, 9);
  });

  it('fall into low, middle and high load', () => {
    const groups = atLoads(reading, [-1, 1], at(-2, 0, 3, 1, -1.5), 1)!;
    expect(groups.map((group) => group.map(({ point }) => point[1]))).toEqual([[-2, -1.5], [0, 1], [3]]);
  });

  it('are not parted where one of the loads was hardly seen, or load never moved, or is not known', () => {
    expect(atLoads(reading, [-1, 1], at(-2, 0, 0.5), 1)).toBeNull();
    expect(atLoads(reading, [-1, 1], at(-2, -2, 0, 0, 3), 2)).toBeNull();
    expect(loadEdges(reading, at(0.4, 0.4, 0.4))).toBeNull();
    expect(loadEdges(reading, [])).toBeNull();
    expect(loadEdges({ ...reading, used: ['sink'] }, at(0, 1))).toBeNull();
  });
});
