import { describe, expect, it } from 'vitest';
import { lawWithinBins } from './law-within-bins.js';
import { normalFrom, seededRandom } from '../../../numerics/random.js';
import { filled } from '../../../numerics/robust.js';

const prior = { mean: 0.001, spread: 0.001 };
const scatter = 0.01;

/** Tests of a module that fades by 0.1 % from one to the next, at temperatures that swing over 400 of them and from one to the next. */
function fading(n: number, perK: number, seed: number) {
  const random = seededRandom(seed);
  const warmer_K = filled(n, (i) => 10 + 8 * Math.sin((2 * Math.PI * i) / 400) + 3 * normalFrom(random));
  const ln = filled(n, (i) => -0.001 * i + perK * warmer_K[i]! + scatter * normalFrom(random));
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

  it('says no more than was believed where bins are of a single test', () => {
    const law = lawWithinBins(fading(20, 0.0004, 1), { offset: 0, perBin: 1, bins: 20 }, prior, scatter);
    expect(law.perK).toBeCloseTo(0.001, 9);
    expect(law.uncertainty).toBeCloseTo(0.001, 9);
  });

  it('is hardly moved by one test in forty that is 20 % off', () => {
    const binning = { offset: 0, perBin: 20, bins: 20 };
    const sound = fading(400, 0.0004, 7);
    const odd = { ...sound, ln: sound.ln.map((value, i) => (i % 40 === 11 ? value - 0.2 : value)) };
    const perK = (tests: typeof sound) => lawWithinBins(tests, binning, prior, scatter).perK;
    expect(Math.abs(perK(odd) - perK(sound))).toBeLessThan(0.0002);
  });
});
