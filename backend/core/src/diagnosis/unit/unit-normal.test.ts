import { describe, expect, it } from 'vitest';
import type { Plateau } from '../../normal/plateaus/find-plateaus.js';
import type { PlateauNumber } from '../../normal/plateaus/plateau-number.js';
import { sensorFinding } from '../sample-sensor-finding.js';
import { r134a, state } from '../causes/sample-channels.js';
import { learnSound, splitRecord } from './unit-normal.js';

const day_s = 86_400;
const hour_s = 3600;

/** Plateaus of half an hour, one every `every_s`. */
function plateaus(count: number, every_s: number): Plateau[] {
  return Array.from({ length: count }, (_, k) => ({
    from_s: k * every_s,
    to_s: k * every_s + 1800,
    samples: 180,
    values: Object.fromEntries(
      Object.entries(state)
        .filter(([, value]) => Number.isFinite(value))
        .map(([channel, value]) => [
          channel,
          {
            value: value + 1e-3 * Math.abs(value) * Math.sin(k * k),
            uncertainty: 1e-4 * Math.abs(value),
          } as PlateauNumber,
        ]),
    ),
  }));
}
const split = (count: number, every_s: number) => {
  const { learned, judged } = splitRecord(plateaus(count, every_s));
  expect(learned.length + judged.length).toBe(count);
  return learned;
};

describe('what normal is learned from', () => {
  it('is the first two weeks of a long record, by when a plateau ends', () => {
    // 24 a day for 60 days: the last within 14 days ends at 14 days less half an hour.
    const learned = split(24 * 60, hour_s);
    expect(learned).toHaveLength(24 * 14);
    expect(learned.at(-1)!.to_s).toBe(14 * day_s - 1800);
  });

  it('is the first 60 % of a short one', () => {
    // 100 plateaus from 0 to 99.5 h: until 59.7 h, which the plateau of hour 59 (till 59.5 h) is within.
    expect(split(100, hour_s)).toHaveLength(60);
  });

  it('is no less than a day’s plateaus, 24, be the record shorter or longer', () => {
    expect(split(30, hour_s)).toHaveLength(24);
    expect(split(24, hour_s)).toHaveLength(24);
    expect(split(10, hour_s)).toHaveLength(10);
    // One a day: two weeks hold 14 of them.
    expect(split(60, day_s)).toHaveLength(24);
    expect(splitRecord([])).toEqual({ learned: [], judged: [] });
  });

  it('counts from the record’s own start, the learned part first', () => {
    const late = plateaus(24 * 60, hour_s).map((one) => ({
      ...one,
      from_s: one.from_s + 1e9,
      to_s: one.to_s + 1e9,
    }));
    const { learned, judged } = splitRecord(late);
    expect(learned).toHaveLength(24 * 14);
    expect(judged[0]!.from_s).toBe(1e9 + 14 * day_s);
  });
});

describe('plateaus on which something was known to be wrong', () => {
  const all = plateaus(48, hour_s);
  const learned = (...change: Parameters<typeof sensorFinding>) =>
    learnSound(r134a(), all, [sensorFinding(...change)])?.plateaus ?? null;
  const during = (from_s: number, to_s: number) => ({ firstSeen_s: from_s, lastSeen_s: to_s });

  it('are left out', () => {
    expect(learnSound(r134a(), all, [])!.plateaus).toBe(48);
    expect(learned('value-frozen', 'suction-pressure', during(0, 10 * hour_s))).toBe(38);
    // All of them: too little to learn from.
    expect(learned('sensor-bias', 'suction-pressure', during(0, 48 * hour_s))).toBeNull();
  });

  it('are those that overlap what was wrong, not those that only touch it', () => {
    expect(learned('starved', 'suction-pressure', during(1800, 3600))).toBe(48);
    expect(learned('starved', 'suction-pressure', during(1799, 3600))).toBe(47);
    expect(learned('starved', 'suction-pressure', during(1800, 3601))).toBe(47);
  });

  it('are kept where it was only possible, or says nothing against normal running', () => {
    expect(
      learned('sensor-bias', 'suction-pressure', { ...during(0, 10 * hour_s), certainty: 'possible' }),
    ).toBe(48);
    expect(learned('value-noisy', 'suction-pressure', during(0, 10 * hour_s))).toBe(48);
  });
});
