import { describe, expect, it } from 'vitest';
import { filled } from '../../../numerics/index.js';
import { measuredLevels, type TestsAtColdest } from './measured-levels.js';

const coldest_K = 280;
/** Tests at the coldest temperature unless said otherwise, brought there by 0.0004 per K. */
const tests = (capacitance_F: number[], warmer: (i: number) => number = () => 0): TestsAtColdest => ({
  temperature_K: filled(capacitance_F.length, (i) => coldest_K + warmer(i)),
  capacitance_F: Float64Array.from(capacitance_F),
  coldest_K,
  perK: 0.0004,
  scatter: 0.012,
});

describe('medians of neighbouring tests', () => {
  it('leave out what is too little for a bin at the front, and one test far off', () => {
    const found = measuredLevels(tests([9, 0.97, 1, 0.2, 0.9, 0.91, 5]), { offset: 1, perBin: 3, bins: 2 })!;
    expect([...found.level_F]).toEqual([0.97, 0.91]);
  });

  it.each([
    // One over the root of their number; of three and more, 1.25 times that of a mean (asymptotically the root of pi / 2).
    [1, 0.012],
    [2, 0.012 / Math.SQRT2],
    [3, (1.25 * 0.012) / Math.sqrt(3)],
  ])('of %d have the scatter of their median, known from a quarter of the tests', (perBin, scatter) => {
    const found = measuredLevels(tests(new Array(4 * perBin).fill(1)), { offset: 0, perBin, bins: 4 })!;
    expect(found.scatter).toBeCloseTo(scatter, 12);
    expect(found.freedom).toBe(perBin);
  });

  it('go by the usual law, 0.001 per K, where bins are too small to show another (common practice, no source)', () => {
    // Tests were brought to the coldest by 0.0004 per K; what is left is 0.0006 per K, of the mean warmth of the bin.
    const found = measuredLevels(
      tests([1, 1, 1, 1, 1, 1], (i) => 3 * i),
      { offset: 0, perBin: 3, bins: 2 },
    )!;
    expect([...found.warmer_K]).toEqual([3, 12]);
    expect(found.level_F[0]).toBeCloseTo(Math.exp(-0.0018), 12);
    expect(found.level_F[1]).toBeCloseTo(Math.exp(-0.0072), 12);
    expect(found.perK).toBeCloseTo(0.001, 12);
    expect(found.perKUncertainty).toBeCloseTo(0.001, 12);
  });

  it('go by the law that tests of one bin show, where these are plain', () => {
    // 0.003 per K is left after 0.0004: +-10 K by turns in bins of eight, at a scatter of a ten-thousandth.
    const warmer = (i: number) => (i % 2 ? 20 : 0);
    const all = tests(
      Array.from({ length: 16 }, (_, i) => Math.exp(0.003 * warmer(i))),
      warmer,
    );
    const found = measuredLevels({ ...all, scatter: 1e-4 }, { offset: 0, perBin: 8, bins: 2 });
    // Held to 2.5 scatters from the usual law, so that no more than that is taken from one test.
    expect(found!.perK).toBeGreaterThan(0.001);
    expect(found!.perK).toBeLessThan(0.0011);
    const usual = measuredLevels({ ...all, scatter: 0.05 }, { offset: 0, perBin: 8, bins: 2 })!;
    // 16 tests of which warmth is about 10 K off: one over variance 16 x 10^2 / 0.05^2 against 1 / 0.001^2.
    expect(usual.perKUncertainty / (1 / Math.sqrt(1e6 + 1600 / 0.0025))).toBeCloseTo(1, 1);
    expect(usual.perK).toBeGreaterThan(0.0018);
    expect(usual.perK).toBeLessThan(0.0022);
  });

  it('are none where a median is no capacitance', () => {
    expect(measuredLevels(tests([1, 1, 0, 0, 0, 1]), { offset: 0, perBin: 3, bins: 2 })).toBeNull();
  });
});
