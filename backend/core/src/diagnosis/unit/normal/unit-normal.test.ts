import { describe, expect, it } from 'vitest';
import type { Plateau } from '../../../normal/plateaus/find-plateaus.js';
import type { WindowPlateaus } from '../../../normal/plateaus/window-plateaus.js';
import type { PlateauNumber } from '../../../normal/plateaus/plateau-number.js';
import { sensorFinding } from '../../sample-sensor-finding.js';
import { r134a, state } from '../../causes/sample-channels.js';
import { afterLearning, learnFrom, learningOf, unsoundSpans } from './unit-normal.js';

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
/** The plateaus in the windows of two hours that they begin in, all cut by the usual tolerances. */
function windowsWith(all: readonly Plateau[], level = 0): WindowPlateaus[] {
  const starts = [...new Set(all.map(({ from_s }) => Math.floor(from_s / 7200) * 7200))];
  return starts.map((start_s) => {
    const own = all.filter(({ from_s }) => Math.floor(from_s / 7200) * 7200 === start_s);
    return {
      start_s,
      ran_s: 7200,
      cuts: [{ level, steady_s: 1800 * own.length, plateaus: own }],
      stops: [],
      atStart: [],
      ranUntil_s: null,
    };
  });
}
const learned = (count: number, every_s: number) => learningOf(windowsWith(plateaus(count, every_s)), []);

describe('what normal is learned from', () => {
  it('is the first two weeks of a long record, by when a plateau ends', () => {
    // 24 a day for 60 days: the last within 14 days ends at 14 days less half an hour.
    const { plateaus: from, complete } = learned(24 * 60, hour_s);
    expect(from).toHaveLength(24 * 14);
    expect(from.at(-1)!.to_s).toBe(14 * day_s - 1800);
    expect(complete).toBe(true);
  });

  it('is the whole days in the first 60 % of a short one', () => {
    // 100 plateaus from 0 to 99.5 h: 60 % are 59.7 h, two whole days.
    expect(learned(100, hour_s).plateaus).toHaveLength(48);
    expect(learned(100, hour_s).complete).toBe(false);
    // 14 days are 60 % of 23 days and 8 h: 560 h, which the last plateau must have reached.
    expect(learned(560, hour_s).complete).toBe(false);
    expect(learned(561, hour_s).complete).toBe(true);
  });

  it('is no less than a day’s plateaus, 24, be the record shorter or longer', () => {
    expect(learned(30, hour_s).plateaus).toHaveLength(24);
    expect(learned(24, hour_s).plateaus).toHaveLength(24);
    expect(learned(10, hour_s).plateaus).toHaveLength(10);
    // One a day: two weeks hold 14 of them.
    expect(learned(60, day_s).plateaus).toHaveLength(24);
    expect(learningOf([], []).plateaus).toEqual([]);
  });

  it('counts from the record’s own start', () => {
    const late = plateaus(24 * 60, hour_s).map((one) => ({
      ...one,
      from_s: one.from_s + 720e6,
      to_s: one.to_s + 720e6,
    }));
    expect(learningOf(windowsWith(late), []).plateaus.map(({ from_s }) => from_s)).toEqual(
      late.slice(0, 24 * 14).map(({ from_s }) => from_s),
    );
  });

  it('begins with what is sound, and is extended by no later fault', () => {
    // Wrong for the first ten days: of the 30 days after them, two weeks.
    const all = windowsWith(plateaus(24 * 40, hour_s));
    const { plateaus: from } = learningOf(all, [{ from_s: -Infinity, to_s: 10 * day_s }]);
    expect(from[0]!.from_s).toBe(10 * day_s);
    expect(from).toHaveLength(24 * 14);
    // Wrong from the twentieth day on: what was sound before is 20 days, of which 12 are 60 %.
    const before = learningOf(all, [{ from_s: 20 * day_s, to_s: Infinity }]);
    expect(before.plateaus).toHaveLength(24 * 11);
  });

  it('is cut by wider tolerances where the usual ones leave under a quarter of its running', () => {
    const all = plateaus(48, hour_s);
    const wide = windowsWith(all, 2);
    expect(learningOf(wide, [])).toMatchObject({ tolerance: 2 });
    // In a record that is steady by the usual tolerances, one window that is not has no part.
    const one = { ...wide[3]!, start_s: 3 * 7200 };
    const most = windowsWith(all);
    const mixed = [...most.slice(0, 3), one, ...most.slice(4)];
    const { tolerance, plateaus: from } = learningOf(mixed, []);
    expect(tolerance).toBe(0);
    expect(from.map(({ from_s }) => from_s)).not.toContain(6 * hour_s);
  });
});

describe('what is judged against a normal', () => {
  it('are all plateaus after those it was learned from, also those on which something was wrong', () => {
    const all = windowsWith(plateaus(96, hour_s));
    const learnt = learnFrom(r134a(), learningOf(all, []))!;
    expect(learnt.normal.plateaus).toBe(48);
    expect(afterLearning(all, learnt).map(({ from_s }) => from_s)).toEqual(
      Array.from({ length: 48 }, (_, k) => (48 + k) * hour_s),
    );
  });
});

describe('plateaus on which something was known to be wrong', () => {
  const all = windowsWith(plateaus(48, hour_s));
  const learned = (...change: Parameters<typeof sensorFinding>) =>
    learningOf(all, unsoundSpans([sensorFinding(...change)])).plateaus.length;
  const during = (from_s: number, to_s: number) => ({ firstSeen_s: from_s, lastSeen_s: to_s });

  it('are left out', () => {
    expect(learned('value-frozen', 'suction-pressure', during(0, 10 * hour_s))).toBe(24);
    expect(learned('value-frozen', 'suction-pressure', during(20 * hour_s, 30 * hour_s))).toBe(24);
    expect(learned('value-frozen', 'suction-pressure', during(0, 30 * hour_s))).toBe(18);
    // All of them: there is nothing to learn from.
    expect(learned('sensor-bias', 'suction-pressure', during(0, 48 * hour_s))).toBe(0);
  });

  it('are those that overlap what was wrong, not those that only touch it', () => {
    const first = (from_s: number, to_s: number) =>
      learningOf(all, [{ from_s, to_s }])
        .plateaus.map(({ from_s: at }) => at / hour_s)
        .slice(0, 3);
    expect(first(1800, 3600)).toEqual([0, 1, 2]);
    expect(first(1799, 3600)).toEqual([1, 2, 3]);
    expect(first(1800, 3601)).toEqual([0, 2, 3]);
  });

  it('are kept where it was only possible, or says nothing against normal running', () => {
    expect(
      learned('sensor-bias', 'suction-pressure', { ...during(0, 48 * hour_s), certainty: 'possible' }),
    ).toBe(24);
    expect(learned('value-noisy', 'suction-pressure', during(0, 48 * hour_s))).toBe(24);
  });
});
