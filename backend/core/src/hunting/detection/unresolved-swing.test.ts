import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { detectOscillation } from './detect-oscillation.js';
import { isUnresolved } from './unresolved-swing.js';

const rows = 720;
const time_s = Array.from({ length: rows }, (_, i) => 10 * i);
const verdictOf = (value: number[]) => detectOscillation({ time_s, value });

describe('a swing faster than the rows', () => {
  // A capacity switched every 20.35 s at 70 %: seen every 10 s, its harmonics fold down to slow cycles.
  const pulsed = time_s.map((at_s) => ((at_s / 20.35) % 1 < 0.7 ? 5.4 : 7.4));

  it('that capacity pulses make is not told from a slow one', () => {
    const verdict = verdictOf(pulsed);
    expect(isUnresolved(pulsed, { ...verdict, amplitude: verdict.amplitude ?? 0.8 })).toBe(true);
  });

  it('is none of a cycle of minutes, with noise on it, nor of a quick and wide one', () => {
    const normal = normalDraws(seededRandom(5));
    const cycle = time_s.map((at_s) => 6 + 1.5 * Math.sin((2 * Math.PI * at_s) / 190) + 0.5 * normal());
    expect(isUnresolved(cycle, verdictOf(cycle))).toBe(false);
    const quick = time_s.map((at_s) => 6 + 2 * Math.sin((2 * Math.PI * at_s) / 47));
    expect(isUnresolved(quick, { ...verdictOf(quick), amplitude: 2 })).toBe(false);
  });
});
