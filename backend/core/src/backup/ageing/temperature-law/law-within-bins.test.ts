import { describe, expect, it } from 'vitest';
import { lawWithinBins } from './law-within-bins.js';
import { filled, normalDraws, seededRandom } from '../../../numerics/index.js';

const prior = { mean: 0.001, spread: 0.001 };
const scatter = 0.01;

/** Tests of a module that fades by 0.1 % from one to the next, at temperatures that swing over 400 of them and from one to the next. */
function fading(n: number, perK: number, seed: number) {
  const random = seededRandom(seed);
  const normal = normalDraws(random);
  const warmer_K = filled(n, (i) => 10 + 8 * Math.sin((2 * Math.PI * i) / 400) + 3 * normal());
  const ln = filled(n, (i) => -0.001 * i + perK * warmer_K[i]! + scatter * normal());
  return { ln, warmer_K };
}

describe('temperature law within bins', () => {
  it('is found within its stated uncertainty while the module fades, in about two cases of three', () => {
    const truth = 0.0004;
    let within = 0;
    const cases = 300;
    for (let seed = 1; seed <= cases; seed++) {
      const law = lawWithinBins(
        fading(400, truth, seed),
        { offset: 0, perBin: 20, bins: 20 },
        prior,
        scatter,
      );
      if (Math.abs(law.perK - truth) < law.uncertainty) within++;
    }
    // Within one standard deviation of a normal distribution: 68.3 %; 300 draws stray from it by 2.7 points.
    expect(within / cases).toBeGreaterThan(0.6);
    expect(within / cases).toBeLessThan(0.76);
  });

  it('stays the prior where each bin is of a single test', () => {
    const law = lawWithinBins(fading(20, 0.0004, 1), { offset: 0, perBin: 1, bins: 20 }, prior, scatter);
    expect(law.perK).toBeCloseTo(0.001, 9);
    expect(law.uncertainty).toBeCloseTo(0.001, 9);
  });

  it('stays the prior where bins are of three tests, which leave one degree of freedom beside a line', () => {
    const law = lawWithinBins(fading(60, 0.0004, 1), { offset: 0, perBin: 3, bins: 20 }, prior, scatter);
    expect([law.perK, law.uncertainty]).toEqual([expect.closeTo(0.001, 12), expect.closeTo(0.001, 12)]);
  });

  it('winsorises a test far off at 2.5 scatters from the prior', () => {
    // One bin of four tests at 10, 11, 10 and 11 K, as by the prior but for the third, which is 40 % off. At right angles to
    // a line through the four places, warmth is (-0.2, 0.6, -0.6, 0.2) K and the error (-0.04, -0.08, 0.28, -0.16): by
    // hand, confirmed with numpy 2.4.6. Each of the four errors is held to 0.025.
    const warmer_K = new Float64Array([10, 11, 10, 11]);
    const ln = warmer_K.map((w, i) => prior.mean * w + (i === 2 ? 0.4 : 0));
    const law = lawWithinBins({ ln, warmer_K }, { offset: 0, perBin: 4, bins: 1 }, prior, scatter);
    const sides = [-0.2, 0.6, -0.6, 0.2];
    const signs = [-1, -1, 1, -1];
    const ww = sides.reduce((sum, side) => sum + side ** 2, (scatter / prior.spread) ** 2);
    const off = sides.reduce((sum, side, i) => sum + side * signs[i]! * 2.5 * scatter, 0);
    expect(law.perK).toBeCloseTo(prior.mean + off / ww, 9);
    expect(law.uncertainty).toBeCloseTo(scatter / Math.sqrt(ww), 9);
  });

  it('is hardly moved by one test in forty that is 20 % off', () => {
    const binning = { offset: 0, perBin: 20, bins: 20 };
    const sound = fading(400, 0.0004, 7);
    const odd = { ...sound, ln: sound.ln.map((value, i) => (i % 40 === 11 ? value - 0.2 : value)) };
    const perK = (tests: typeof sound) => lawWithinBins(tests, binning, prior, scatter).perK;
    expect(Math.abs(perK(odd) - perK(sound))).toBeLessThan(0.0002);
  });
});
