import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../numerics/index.js';
import { followsSuperheat } from './follows-superheat.js';

/** Two hours at 10 s: superheat about a level, and a valve that acts on it (PI) or on something else. */
function trace(acts: boolean, seed: number) {
  const normal = normalDraws(seededRandom(seed));
  const rows = 720;
  const time_s = Float64Array.from({ length: rows }, (_, i) => 10 * i);
  const superheat_K = new Float64Array(rows);
  const opening_pct = new Float64Array(rows);
  let wander = 0;
  let other = 0;
  let integral = 45;
  for (let i = 0; i < rows; i++) {
    wander = 0.9 * wander + 0.1 * normal();
    other = 0.9 * other + 0.1 * normal();
    superheat_K[i] = 6 + wander;
    integral += 0.02 * (acts ? wander : other);
    opening_pct[i] = integral + 2 * (acts ? wander : other);
  }
  return { time_s, superheat_K, opening_pct };
}
const of = ({ time_s, superheat_K, opening_pct }: ReturnType<typeof trace>) =>
  followsSuperheat(time_s, superheat_K, opening_pct);

describe('a valve and superheat', () => {
  it('move together where the one controls the other, and not where it does not', () => {
    for (let seed = 1; seed <= 20; seed++) {
      expect(of(trace(true, seed))).toBeGreaterThan(0.8);
      expect(Math.abs(of(trace(false, seed))!)).toBeLessThan(0.5);
    }
  });

  it('say nothing where the valve stands, too little is steady, or no opening is sent', () => {
    const one = trace(true, 1);
    expect(of({ ...one, opening_pct: one.opening_pct.map(() => 45) })).toBeNull();
    expect(of({ ...one, opening_pct: one.opening_pct.map(() => NaN) })).toBeNull();
    expect(
      of({ ...one, superheat_K: one.superheat_K.map((value, i) => (i < 200 ? value : NaN)) }),
    ).toBeNull();
  });
});
