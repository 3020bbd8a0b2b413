import { describe, expect, it } from 'vitest';
import { filled, quantileSorted } from '../../../numerics/index.js';
import type { AgeAxis } from '../models/age-axis.js';
import type { FittedModel, MeasuredLevels } from '../models/index.js';
import { bootstrapTrend, type BootstrapInput } from './bootstrap.js';

const year_s = 365.25 * 86_400;
/** P10 to P90 of a normal distribution, in standard deviations. */
const p10To90 = 2 * 1.2816;
/** Weighted age goes by the clock, in seasons that are known. */
const even: AgeAxis['calendar'] = { timeUntil_s: (added_s) => added_s, meanRate: 1, spread: () => 0 };
const bin_s = 1e6;
const bins = 10;
const only = (entries: Record<number, number>, n = bins) => filled(n, (i) => entries[i] ?? 0);

/** C^power (or ln C) falls by 0.01 from bin to bin and is 0.64 in the last one, by which level and slope are judged. */
function modelOf(power: number, changed: Partial<FittedModel> = {}, calendar = even): FittedModel {
  const fitted = filled(bins, (i) => 0.64 + 0.01 * (bins - 1 - i));
  return {
    kind: 'constant-fraction',
    axis: { calendar, prior: 1, now: bin_s * (bins - 1), x: filled(bins, (i) => bin_s * i) },
    scale: { power, z: fitted, relative: new Float64Array(bins), noChange: 1 },
    change: 0,
    weight: 1,
    perK: 0,
    perKUncertainty: 0,
    fitted,
    residual: new Float64Array(bins),
    quickens: false,
    inLevel: only({ 9: 1 }),
    inSlope: only({ 8: -1 / bin_s, 9: 1 / bin_s }),
    ...changed,
  };
}
const measuredAt = (warmer: (i: number) => number, n = bins) =>
  ({ level_F: new Float64Array(n), warmer_K: filled(n, warmer) }) as MeasuredLevels;
const drawn = (models: FittedModel[], changed: Partial<BootstrapInput> = {}) =>
  bootstrapTrend({
    models,
    measured: measuredAt(() => 0),
    step: null,
    limits_F: [],
    draws: 20_000,
    seed: 1,
    ...changed,
  });
const ends = (column: Float64Array) => [column[0]!, column.at(-1)!];
const width = (column: Float64Array) =>
  Math.log(quantileSorted(column, 0.9) / quantileSorted(column, 0.1)) / p10To90;

describe('a drawn trend of which everything is known', () => {
  it.each([
    // Straight: 0.64 - 0.36 are 28 bins of 0.01. Root: 0.64^2, down to 0.6^2. Square: 0.8, down to 0.6. Logarithm: by 0.28.
    { power: 1, level: 0.64, limit: 0.36 },
    { power: 0.5, level: 0.64 ** 2, limit: 0.36 ** 2 },
    { power: 2, level: 0.8, limit: 0.6 },
    { power: 0, level: Math.exp(0.64), limit: Math.exp(0.36) },
  ])('has a level, a date 28 bins ahead and the loss of a year on the scale of power $power', (one) => {
    const { level_F, lossPerYear, timeUntil_s, notFalling } = drawn([modelOf(one.power)], {
      limits_F: [[one.limit], [one.level]],
      draws: 10,
    });
    const next = 0.64 - (0.01 * year_s) / bin_s;
    const nextYear = one.power === 0 ? Math.exp(next) : next ** (1 / one.power);
    for (const value of ends(level_F)) expect(value).toBeCloseTo(one.level, 9);
    for (const value of ends(lossPerYear)) expect(value).toBeCloseTo(1 - nextYear / one.level, 9);
    for (const value of ends(timeUntil_s[0]!)) expect(value / bin_s).toBeCloseTo(28, 6);
    expect(notFalling).toBe(0);
  });

  it('goes by the calendar, and by its mean rate over the year', () => {
    // Weighted age runs at half the speed of the clock.
    const slow = { ...even, timeUntil_s: (added_s: number) => 2 * added_s, meanRate: 0.5 };
    const { lossPerYear, timeUntil_s } = drawn([modelOf(1, {}, slow)], { limits_F: [[0.36]], draws: 10 });
    expect(timeUntil_s[0]![0]! / bin_s).toBeCloseTo(56, 6);
    expect(lossPerYear[0]).toBeCloseTo((0.005 * year_s) / bin_s / 0.64, 9);
  });

  it('has passed a limit that it has met exactly, and never meets one without falling', () => {
    const met = drawn([modelOf(1)], { limits_F: [[modelOf(1).fitted[9]!], [0.7]], draws: 5 });
    expect(met.timeUntil_s.map(ends)).toEqual([
      [0, 0],
      [0, 0],
    ]);
    const level = drawn([modelOf(1, { inSlope: new Float64Array(bins) })], {
      limits_F: [[0.36], [0.7]],
      draws: 5,
    });
    expect(level.timeUntil_s.map(ends)).toEqual([
      [Infinity, Infinity],
      [0, 0],
    ]);
    expect(level.notFalling).toBe(1);
    expect(ends(level.lossPerYear)).toEqual([0, 0]);
  });

  it('has no loss of a year where nothing is left, and none where the next year goes beyond all numbers', () => {
    const nothing = drawn([modelOf(1, { inLevel: only({ 9: -1 }) })], { limits_F: [[0.1]], draws: 5 });
    expect([ends(nothing.level_F), ends(nothing.lossPerYear), ends(nothing.timeUntil_s[0]!)]).toEqual([
      [0, 0],
      [0, 0],
      [0, 0],
    ]);
    const beyond = drawn([modelOf(0, { inSlope: only({ 9: 1 }) })], { draws: 5 });
    expect(ends(beyond.lossPerYear)).toEqual([0, 0]);
  });
});

describe('the spread of drawn trends', () => {
  it.each([0, 2])(
    'is how much warmer it is times the uncertainty of the law, on the scale of power %d',
    (power) => {
      // 20 K by 0.001 per K: 2 % of the level.
      const { level_F } = drawn([modelOf(power, { perKUncertainty: 0.001 })], {
        measured: measuredAt((i) => (i === 9 ? 20 : 500)),
      });
      expect(width(level_F) / 0.02).toBeGreaterThan(0.97);
      expect(width(level_F) / 0.02).toBeLessThan(1.03);
    },
  );

  it('is that of the size of a step in the bins before it alone, and none without a step', () => {
    const model = modelOf(0, { inLevel: only({ 1: 0.25, 2: 0.75 }) });
    const { level_F } = drawn([model], { step: { beforeBin: 2, uncertainty: 0.08 } });
    expect(width(level_F) / (0.25 * 0.08)).toBeGreaterThan(0.97);
    expect(width(level_F) / (0.25 * 0.08)).toBeLessThan(1.03);
    expect(width(drawn([model]).level_F)).toBe(0);
  });

  it('of a date is that of the seasons over the time until it', () => {
    const seasons = { ...even, spread: (ahead_s: number) => ahead_s / bin_s / 100 };
    const { timeUntil_s, level_F } = drawn([modelOf(1, {}, seasons)], { limits_F: [[0.54]] });
    // Ten bins ahead: 10 %.
    expect(width(timeUntil_s[0]!) / 0.1).toBeGreaterThan(0.97);
    expect(width(timeUntil_s[0]!) / 0.1).toBeLessThan(1.03);
    expect(width(level_F)).toBe(0);
  });

  it('takes each model by its weight, and each assumption about a limit as likely as the others', () => {
    const models = [
      modelOf(1, { weight: 0.3, inSlope: new Float64Array(bins) }),
      modelOf(1, { weight: 0.7 }),
    ];
    const { timeUntil_s, notFalling } = drawn(models, { limits_F: [[0.63, 0.62, 0.61, 0.6]] });
    // Binomial: 0.3 +- 0.0032 of 20,000.
    expect(Math.abs(notFalling - 0.3)).toBeLessThan(0.015);
    const after = [1, 2, 3, 4].map(
      (ahead) => timeUntil_s[0]!.filter((until_s) => Math.abs(until_s / bin_s - ahead) < 1e-6).length,
    );
    for (const count of after) expect(Math.abs(count / 20_000 - 0.7 / 4)).toBeLessThan(0.015);
    expect(after.reduce((sum, count) => sum + count, 0) / 20_000 + notFalling).toBeCloseTo(1, 12);
  });
});

describe('resampled residuals', () => {
  /** Differences of two drawn medians where residuals are 1, 2, 3 and so on. */
  const between = (from: number, n: number) => {
    const ramp = modelOf(1, {
      fitted: new Float64Array(n),
      residual: filled(n, (i) => i + 1),
      inLevel: only({ [from]: -1, [from + 1]: 1 }, n),
      inSlope: new Float64Array(n),
    });
    const { level_F } = drawn([ramp], { measured: measuredAt(() => 0, n), draws: 5000 });
    return level_F;
  };
  const ones = (column: Float64Array) => column.filter((value) => value === 1).length / column.length;

  it.each([
    // The cube root of their number, rounded: 2 of 8, 3 of 20 and of 27.
    [8, 2],
    [20, 3],
    [27, 3],
  ])('of %d medians come in circular blocks of %d', (n, block) => {
    for (let from = 0; from < block - 1; from++) {
      // Within a block the next is the next, but where the last is followed by the first (a level under 0 counts as 0).
      const inside = between(from, n);
      expect(inside.every((value) => value === 0 || value === 1)).toBe(true);
      expect(Math.abs(ones(inside) - (n - 1) / n)).toBeLessThan(0.02);
    }
    expect(ones(between(block - 1, n))).toBeLessThan(2 / n);
  });

  it('are the same for the same seed', () => {
    const models = [modelOf(1, { residual: filled(bins, (i) => 0.001 * i) })];
    expect(drawn(models, { seed: 7 })).toEqual(drawn(models, { seed: 7 }));
    expect(drawn(models, { seed: 7 }).level_F).not.toEqual(drawn(models, { seed: 8 }).level_F);
  });
});
