import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { plateauNumber } from './plateau-number.js';

const gauss = normalDraws(seededRandom(7));
const time_s = Float64Array.from({ length: 240 }, (_, i) => 10 * i);

/** An autoregressive process of first order: neighbours go together with correlation `r`. */
function correlated(r: number, deviation: number): Float64Array {
  const values = new Float64Array(time_s.length);
  let last = gauss() * deviation;
  for (let i = 0; i < values.length; i++) {
    last = r * last + Math.sqrt(1 - r * r) * deviation * gauss();
    values[i] = 300 + last;
  }
  return values;
}

describe('the number of a plateau', () => {
  it.each([0, 0.8, 0.95])(
    'covers the true mean as often as it says, with neighbours that go together by %s',
    (r) => {
      let inside = 0;
      for (let k = 0; k < 400; k++) {
        const { value, uncertainty } = plateauNumber(time_s, correlated(r, 0.5))!;
        if (Math.abs(value - 300) < 1.96 * uncertainty) inside++;
      }
      // 95 % for a normal error; eight batches leave a little less.
      expect(inside / 400).toBeGreaterThan(0.84);
      expect(inside / 400).toBeLessThan(0.995);
    },
  );

  it('is not moved by single samples far off', () => {
    const values = correlated(0, 0.1);
    for (let i = 5; i < values.length; i += 40) values[i] = 400;
    expect(plateauNumber(time_s, values)!.value).toBeCloseTo(300, 1);
  });

  it('of a value that stays within one step of its resolution is uncertain by the step over root twelve', () => {
    const values = new Float64Array(240).fill(280.5);
    values[100] = 281;
    expect(plateauNumber(time_s, values)!.uncertainty).toBeCloseTo(0.5 / Math.sqrt(12), 2);
  });

  it('is none under three values', () => {
    expect(plateauNumber(time_s.slice(0, 3), Float64Array.of(1, NaN, 2))).toBeNull();
  });
});
