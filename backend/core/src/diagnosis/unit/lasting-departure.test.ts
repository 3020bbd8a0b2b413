import { describe, expect, it } from 'vitest';
import type { JudgedPlateau } from '../../normal/departures/judge-plateaus.js';
import { lastingDeparture } from './lasting-departure.js';

const day_s = 86_400;
/** Plateaus three a day, with the departure of subcooling in standard uncertainties and whether over the limit. */
const plateaus = (z: readonly number[], over: (i: number) => boolean): JudgedPlateau[] =>
  z.map(
    (value, i) =>
      ({
        from_s: 1.7e9 + (i * day_s) / 3,
        to_s: 1.7e9 + (i * day_s) / 3 + 1800,
        overLimit: over(i),
        departures: { subcooling_K: { value: 5 + value, expected: 5, z: value } },
      }) as unknown as JudgedPlateau,
  );
const wave = (n: number, shift = 0) => Array.from({ length: n }, (_, i) => shift + 0.8 * Math.sin(1.7 * i));

describe('a lasting departure', () => {
  it('is none of normal running, nor of a plateau over the limit now and then', () => {
    expect(lastingDeparture(plateaus(wave(120), () => false))).toBeNull();
    expect(lastingDeparture(plateaus(wave(120), (i) => i % 40 === 0))).toBeNull();
    expect(lastingDeparture([])).toBeNull();
  });

  it('is there when three of the six newest are over the limit, from where it began', () => {
    const found = lastingDeparture(plateaus(wave(60), (i) => i >= 50))!;
    expect(found.slow).toBe(false);
    expect(found.over).toHaveLength(10);
    expect(lastingDeparture(plateaus(wave(60), (i) => i >= 40 && i < 50))).toBeNull();
  });

  it('is found in the sum of days though no plateau is over the limit, and is over when it ends', () => {
    const z = [...wave(30), ...wave(60, 1.6)];
    const found = lastingDeparture(plateaus(z, () => false))!;
    expect(found.slow).toBe(true);
    expect(found.over[0].from_s).toBeGreaterThanOrEqual(1.7e9 + 9 * day_s);
    expect(lastingDeparture(plateaus([...z, ...wave(15, -0.5)], () => false))).toBeNull();
  });
});
