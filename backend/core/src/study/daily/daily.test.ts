import { describe, expect, it } from 'vitest';
import { summarise } from '../../steadiness/windows/summaries.js';
import { window } from '../../steadiness/sample-window.js';
import type { WindowJudgement } from '../../steadiness/windows/window-judgement.js';
import { dayColumns, daySummary } from './day-summary.js';
import { DailySums, type DailyQuantity, type DayBlock } from './quantities.js';

/** Windows that differ from each other in superheat, spread, hunting, valve and load. */
function judged(k: number): WindowJudgement {
  const one = window(k, {
    superheat: {
      minutes: 60 + 5 * (k % 7),
      mean_K: 5 + (k % 5),
      spread_K: 0.2 + (k % 3),
      underLimitFraction: (k % 4) / 10,
      offset_K: (k % 3) - 1,
    },
    valve: { travel_strokes: 1 + (k % 6), reversals: 40 + k },
    conditions: { compressorLoad_pct: 40 + 3 * (k % 11), ambientTemperature_K: null },
  });
  if (k % 3 !== 0) return one;
  return {
    ...one,
    oscillation: { ...one.oscillation, oscillating: true, amplitude: 3, huntingMinutes: 105 },
  };
}

const windows = Array.from({ length: 36 }, (_, k) => judged(k));
const days = [0, 12, 24].map((from) => daySummary(windows.slice(from, from + 12)));
const block: DayBlock = {
  days: 3,
  columns: Object.fromEntries(dayColumns.map((name) => [name, Float32Array.from(days, (day) => day[name])])),
};
const figure = (name: DailyQuantity, keep: Uint8Array | null = null, of: DayBlock = block) => {
  const sums = new DailySums(name, 1);
  sums.add(of, Int32Array.of(0), [{ span: 0, from: 0, to: 3 }], keep);
  return sums.figure(0);
};

describe('figures over days', () => {
  it('are those of the windows themselves, as the page of the unit has them', () => {
    const whole = summarise(windows)!;
    expect(figure('superheatMean_K')).toBeCloseTo(whole.mean_K!, 5);
    expect(figure('superheatSpread_K')).toBeCloseTo(whole.spread_K!, 5);
    expect(figure('floodbackFraction')).toBeCloseTo(whole.underLimitFraction!, 6);
    expect(figure('setpointOffset_K')).toBeCloseTo(whole.offset_K!, 5);
    expect(figure('huntingFraction')).toBeCloseTo(whole.huntingFraction!, 6);
    expect(figure('valveTravel_strokes_day')).toBeCloseTo(
      (whole.travel_strokes * 1440) / whole.observedMinutes,
      3,
    );
    expect(figure('valveReversals_day')).toBeCloseTo((whole.reversals * 1440) / whole.observedMinutes, 2);
    expect(figure('running_h_day')).toBeCloseTo(24, 6);
  });

  it('leave out days that do not count, and those of which nothing is known', () => {
    const first = summarise(windows.slice(0, 12))!;
    expect(figure('superheatMean_K', Uint8Array.of(1, 0, 0))).toBeCloseTo(first.mean_K!, 5);
    const gap = { days: 3, columns: { ...block.columns } };
    for (const name of dayColumns) gap.columns[name] = Float32Array.of(NaN, NaN, days[2]![name]);
    expect(figure('superheatMean_K', null, gap)).toBeCloseTo(summarise(windows.slice(24))!.mean_K!, 5);
    expect(figure('running_h_day', null, gap)).toBeCloseTo(24, 6);
  });

  it('are the same over several spans that follow each other as over all of their days at once', () => {
    const sums = new DailySums('superheatMean_K', 2, 3);
    const spans = [0, 1, 2].map((day) => ({ span: day, from: day, to: day + 1 }));
    // The first row is of a circuit that is not asked of.
    const two = { days: 3, columns: { ...block.columns } };
    for (const name of dayColumns) two.columns[name] = Float32Array.of(9, 9, 9, ...block.columns[name]!);
    sums.add(two, Int32Array.of(-1, 1), spans);
    expect(sums.figure(1)).toBeCloseTo(figure('superheatMean_K'), 9);
    expect(sums.figure(1, 1, 3)).toBeCloseTo(summarise(windows.slice(12))!.mean_K!, 5);
    expect(sums.figure(1, 0, 1)).toBeCloseTo(summarise(windows.slice(0, 12))!.mean_K!, 5);
    expect(sums.figure(0)).toBeNaN();
  });

  it('are not said of too little running, nor of what was never sent', () => {
    expect(figure('superheatMean_K', Uint8Array.of(0, 0, 0))).toBeNaN();
    expect(figure('ambientTemperature_K')).toBeNaN();
    expect(daySummary([]).steadyMinutes).toBeNaN();
  });
});
