import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { clockDrift } from './clock-drift.js';
import { changesOf, streamDelay } from './stream-delay.js';

const day_s = 86_400;

/** A load that is switched at random times, and water that follows it by a lag of the first order, read late by `late_s`. */
function streams(late_s: number) {
  const random = seededRandom(5);
  const load = new Float64Array(day_s);
  for (let t = 0, on = 0; t < day_s; on = 1 - on) {
    const until = t + 600 + Math.floor(3000 * random());
    for (; t < until && t < day_s; t++) load[t] = on;
  }
  const water = new Float64Array(day_s);
  for (let t = 1; t < day_s; t++)
    water[t] = water[t - 1] + (-load[Math.max(0, t - late_s)] - water[t - 1]) / 90;
  const means = (values: Float64Array) =>
    Float64Array.from({ length: day_s / 120 }, (_, k) => {
      let sum = 0;
      for (let t = 0; t < 120; t++) sum += values[k * 120 + t] / 120;
      return sum;
    });
  return { load: changesOf(means(load)), water: changesOf(means(water)) };
}

const delayOf = (late_s: number) => {
  const { load, water } = streams(late_s);
  return streamDelay(load, water, { from: 0, to: 720 }, { spacing_s: 120, about_s: 0, width_s: 1200 });
};

const noise = normalDraws(seededRandom(11));
const delays = (days: number, delay_s: (day: number) => number, scatter_s = 0) =>
  Array.from({ length: days }, (_, day) => ({
    at_s: day * day_s,
    delay_s: delay_s(day) + scatter_s * noise(),
  }));

describe('the delay between two streams', () => {
  it('grows by what one of them is sent later, to a fraction of the means’ two minutes', () => {
    const own = delayOf(0)!;
    expect(own.correlation).toBeLessThan(-0.8);
    for (const late_s of [30, 60, 200, 600])
      expect(Math.abs(delayOf(late_s)!.delay_s - own.delay_s - late_s)).toBeLessThan(25);
  });

  it('is not told where nothing goes together, or where most is missing', () => {
    const { load } = streams(0);
    const other = Float64Array.from(load, () => noise());
    const span = { from: 0, to: 720 };
    const look = { spacing_s: 120, about_s: 0, width_s: 1200 };
    expect(streamDelay(load, other, span, look)).toBeNull();
    expect(
      streamDelay(
        load,
        load.map((value, k) => (k > 100 ? NaN : value)),
        span,
        look,
      ),
    ).toBeNull();
  });
});

describe('the drift of a clock', () => {
  it('is the slope of a delay that grows from day to day, with how far the clocks are apart', () => {
    const found = clockDrift(delays(8, (day) => 100 + 60 * Math.max(0, day - 2), 5))!;
    expect(Math.abs(found.perDay_s - 60)).toBeLessThan(6);
    expect(Math.abs(found.apart_s - 300)).toBeLessThan(25);
    expect(clockDrift(delays(8, (day) => 100 - 60 * day, 5))!.perDay_s).toBeLessThan(-50);
  });

  it('is told within three days where it is minutes a day', () => {
    expect(clockDrift(delays(3, (day) => 110 + 300 * day, 5))!.perDay_s).toBeCloseTo(300, -2);
  });

  it('is not told of a delay that scatters or wanders, nor of one that changed once', () => {
    let told = 0;
    for (let k = 0; k < 500; k++) if (clockDrift(delays(8, () => 110, 15)) !== null) told++;
    expect(told).toBe(0);
    expect(clockDrift(delays(8, (day) => 110 + 4 * day, 5))).toBeNull();
    expect(clockDrift(delays(8, (day) => 110 + 20 * Math.sin(day), 5))).toBeNull();
    expect(clockDrift(delays(8, (day) => (day < 4 ? 110 : 200), 5))).toBeNull();
  });

  it('is not told in two days', () => {
    expect(clockDrift(delays(2, (day) => 600 * day))).toBeNull();
  });
});
