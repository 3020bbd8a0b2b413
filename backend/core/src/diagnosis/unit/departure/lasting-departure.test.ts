import { describe, expect, it } from 'vitest';
import type { JudgedPlateau } from '../../../normal/departures/judge-plateaus.js';
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

  it('lasts through nights in which the fault does not show, while half of the newest day is over the limit', () => {
    const hours = (over: (hour: number, day: number) => boolean) =>
      Array.from({ length: 4 * 24 }, (_, k) => ({
        from_s: 1.7e9 + k * 3600,
        overLimit: over(k % 24, Math.floor(k / 24)),
        departures: {},
      }));
    const found = lastingDeparture(hours((hour, day) => day >= 2 && hour >= 4 && hour < 18))!;
    expect(found.slow).toBe(false);
    expect(found.over).toHaveLength(28);
    // Two days before, that is another one; eleven of 24 are too few, and a day without any ends it.
    expect(lastingDeparture(hours((hour, day) => day !== 1 && hour >= 4 && hour < 18))!.over).toHaveLength(
      28,
    );
    expect(lastingDeparture(hours((hour) => hour >= 4 && hour < 15))).toBeNull();
    expect(lastingDeparture(hours((hour, day) => day < 3 && hour >= 4 && hour < 18))).toBeNull();
  });

  it('is found in the sum of days though no plateau is over the limit, and is over when it ends', () => {
    const z = [...wave(30), ...wave(60, 1.6)];
    const found = lastingDeparture(plateaus(z, () => false))!;
    expect(found.slow).toBe(true);
    expect(found.over[0].from_s).toBeGreaterThanOrEqual(1.7e9 + 9 * day_s);
    expect(lastingDeparture(plateaus([...z, ...wave(15, -0.5)], () => false))).toBeNull();
  });

  it('needs three of the six newest, not two, and of a record of one or two plateaus each of them', () => {
    const over = (flags: string) =>
      lastingDeparture(plateaus(wave(flags.length), (i) => flags[i] === '1'))?.over.length ?? 0;
    expect(over('000000000000000111')).toBe(3);
    expect(over('000000000000111000')).toBe(3);
    expect(over('000000000001110000')).toBe(0);
    expect(over('000000000000000011')).toBe(0);
    expect(over('1')).toBe(1);
    expect(over('11')).toBe(2);
    expect(over('01')).toBe(0);
    expect(over('011')).toBe(0);
    expect(over('0111')).toBe(3);
  });

  it('goes back over gaps of three plateaus, not of four', () => {
    const over = (flags: string) =>
      lastingDeparture(plateaus(wave(flags.length), (i) => flags[i] === '1'))!.over;
    expect(over('1110001111111')).toHaveLength(10);
    expect(over('1110000111111')).toHaveLength(6);
    const found = over('0000111000111');
    expect(found[0]!.from_s).toBeLessThan(found[1]!.from_s);
    expect(found.every(({ overLimit }) => overLimit)).toBe(true);
  });

  it('is told by the newest fifty plateaus', () => {
    expect(lastingDeparture(plateaus(wave(80), () => true))!.over).toHaveLength(50);
    const slow = lastingDeparture(plateaus([...wave(30), ...wave(90, 1.6)], () => false))!;
    expect(slow.slow).toBe(true);
    expect(slow.over).toHaveLength(50);
    expect(slow.over.at(-1)!.from_s).toBeCloseTo(1.7e9 + (119 * day_s) / 3, 3);
  });

  it('in the sum of days takes three days, one direction at a time', () => {
    // 4 in standard uncertainties counts 3.5 a day after the allowance: over 8 on the third day, not on the second.
    const days = (n: number, z: number) =>
      lastingDeparture(plateaus(Array(3 * n).fill(z) as number[], () => false));
    // The first plateau begins some hours into a day: nine plateaus touch four days.
    expect(days(1, 4)).toBeNull();
    expect(days(4, 4)).not.toBeNull();
    expect(days(4, -4)).not.toBeNull();
    expect(days(30, 0.5)).toBeNull();
    expect(days(30, -0.5)).toBeNull();
    // By 1 a day 0.5 is added: over 8 after seventeen days.
    expect(days(15, 1)).toBeNull();
    expect(days(19, 1)).not.toBeNull();
  });

  it('in the sum of days is over once the last day is within half a standard uncertainty', () => {
    const lastDay = (z: number) =>
      lastingDeparture(plateaus([...wave(60, 2), z, z, z, z, z, z], () => false));
    expect(lastDay(0.6)).not.toBeNull();
    expect(lastDay(0.4)).toBeNull();
    expect(lastDay(-0.6)).toBeNull();
  });
});
