import { describe, expect, it } from 'vitest';
import {
  chiSquareQuantile,
  normalQuantile,
  squaredDistanceQuantile,
  studentQuantile,
} from './distributions.js';

// Common tables, e.g. NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7 (from memory).
describe('quantiles', () => {
  it('of the normal distribution', () => {
    expect(normalQuantile(0.975)).toBeCloseTo(1.96, 3);
    expect(normalQuantile(0.995)).toBeCloseTo(2.5758, 4);
  });
  it("of Student's t", () => {
    expect(studentQuantile(0.975, 10)).toBeCloseTo(2.228, 3);
    expect(studentQuantile(0.995, 20)).toBeCloseTo(2.845, 3);
    expect(studentQuantile(0.995, 1e6)).toBeCloseTo(2.5758, 4);
  });
  it('of chi-square', () => {
    expect(chiSquareQuantile(0.99, 9)).toBeCloseTo(21.666, 3);
    expect(chiSquareQuantile(0.99, 1)).toBeCloseTo(6.635, 3);
  });
  it('of a squared distance with an estimated scale, by F: 0.99, 5 and 20 degrees, is 4.103', () => {
    expect(squaredDistanceQuantile(0.99, 5, 20)).toBeCloseTo(5 * 4.103, 2);
    expect(squaredDistanceQuantile(0.99, 9, 1e5)).toBeCloseTo(21.666, 3);
  });
});
