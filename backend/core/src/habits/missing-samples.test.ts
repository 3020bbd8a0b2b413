import { describe, expect, it } from 'vitest';
import { seededRandom } from '../numerics/index.js';
import { hoursOfSamples, missingSamples, samplingStep_s } from './missing-samples.js';

// Expected counts are worked by hand: 360 samples an hour at 10 s.
const from_s = 1_790_000_000 - (1_790_000_000 % 7200);
const span = { from_s, to_s: from_s + 7200 };
const even = (step_s: number, start_s = from_s, end_s = from_s + 7200) =>
  Array.from({ length: Math.round((end_s - start_s) / step_s) }, (_, i) => start_s + i * step_s);
const known = { before_s: from_s - 10, after: true };

describe('samples that are missing', () => {
  it('are none where each came', () => {
    const hours = hoursOfSamples(even(10), span, known)!;
    expect(hours.map(({ received, expected }) => [received, expected])).toEqual([
      [360, 360],
      [360, 360],
    ]);
    expect(hours.map(missingSamples)).toEqual([0, 0]);
  });

  it('are counted where a broker drops a third of them at random', () => {
    const random = seededRandom(5);
    const times = even(10).filter(() => random() > 0.31);
    const hours = hoursOfSamples(times, span, known)!;
    const missing = hours.map(missingSamples);
    expect(missing[0] + missing[1]).toBe(720 - times.length);
    expect(times.length).toBeLessThan(560);
  });

  it('are counted where a stretch is missing, also before the window and over whole hours', () => {
    const gap = even(10).filter((t) => t < from_s + 1800 || t >= from_s + 5400);
    expect(hoursOfSamples(gap, span, known)!.map(missingSamples)).toEqual([180, 180]);
    const late = even(10, from_s + 900);
    const afterOutage = hoursOfSamples(late, span, { before_s: from_s - 2.5 * 3600, after: true })!;
    expect(afterOutage.map((hour) => [(hour.hour_s - from_s) / 3600, missingSamples(hour)])).toEqual([
      [-2, 360],
      [-1, 360],
      [0, 90],
      [1, 0],
    ]);
  });

  it('are not claimed before the first sample of all, nor after the last', () => {
    const hours = hoursOfSamples(even(10, from_s + 900, from_s + 4500), span, {
      before_s: null,
      after: false,
    })!;
    expect(hours.map(missingSamples)).toEqual([0, 0]);
    expect(hours.map(({ expected }) => expected)).toEqual([270, 90]);
  });

  it('are not claimed for a clock that wavers, or a sample or two', () => {
    const random = seededRandom(6);
    const wavering = even(10.1).map((t) => t + 2 * random());
    expect(hoursOfSamples(wavering, span, known)!.map(missingSamples)).toEqual([0, 0]);
    expect(
      hoursOfSamples(
        even(10).filter((_, i) => i !== 100 && i !== 500),
        span,
        known,
      )!.map(missingSamples),
    ).toEqual([0, 0]);
  });

  it('cannot be told of what is sent on change, in bursts, or of too few', () => {
    const random = seededRandom(7);
    let at_s = from_s;
    const onChange = Array.from({ length: 400 }, () => (at_s += 2 - 15 * Math.log(random())));
    expect(samplingStep_s(onChange)).toBeNull();
    const bursts = even(10).flatMap((t) => [t, t + 2]);
    expect(samplingStep_s(bursts)).toBeNull();
    expect(hoursOfSamples(even(10).slice(0, 20), span, known)).toBeNull();
  });
});
