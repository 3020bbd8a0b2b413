import { describe, expect, it } from 'vitest';
import { assessCircuit } from './assess-circuit.js';
import { circuit } from './sample-circuit.js';
import { days, start_s, window, type Change } from './sample-window.js';
import type { WindowJudgement } from './windows/window-judgement.js';

const assess = (windows: WindowJudgement[], refrigerant = 'R134a') =>
  assessCircuit({ windows, refrigerant, circuit });
const has = (windows: WindowJudgement[], condition: string) =>
  assess(windows).findings.some((finding) => finding.condition === condition);

describe('the spans of an assessment', () => {
  const starved: Change = { superheat: { starvedFraction: 1 } };

  it('are the last seven days with that of the last window, for findings, wear and the pages', () => {
    // With window 84 the eighth day has begun: the first one is no longer in the week.
    expect(has([window(0, starved), ...days(7).map((_, k) => window(k + 1))], 'starved')).toBe(false);
    // A day in which all starves is a seventh of the week, too little; two days are enough.
    const lately = (count: number) => [...days(7 - count), ...days(count, starved, 7 - count)];
    expect(has(lately(1), 'starved')).toBe(false);
    expect(has(lately(2), 'starved')).toBe(true);
    // Days before the week do not count.
    expect(has([...days(7, starved), ...days(7, {}, 7)], 'starved')).toBe(false);
  });

  it('make one week of all that is told of it', () => {
    const moving: Change = { valve: { travel_strokes: 2, reversals: 30, minutes: 120 } };
    const { lastWeek, wear } = assess([...days(7, moving), window(84, moving)]);
    // Six whole days and one window: 73 windows of two strokes and thirty reversals.
    expect(lastWeek).toMatchObject({
      from_s: start_s + 86_400,
      to_s: start_s + 7 * 86_400 + 7200,
      windows: 73,
      travel_strokes: 146,
      reversals: 2190,
    });
    const observedDays = lastWeek!.observedMinutes / 1440;
    expect(wear!.observedDays).toBeCloseTo(observedDays, 12);
    expect(wear!.travel_strokes_per_day).toBeCloseTo(lastWeek!.travel_strokes / observedDays, 9);
    expect(wear!.reversals_per_day).toBeCloseTo(lastWeek!.reversals / observedDays, 9);
  });

  it('leave out windows without a sample', () => {
    const empty = { ...window(3), sampleCount: 0 };
    expect(assess([window(0), empty])).toMatchObject({ windows: 1, to_s: window(0).to_s });
    expect(assess([empty])).toMatchObject({
      windows: 0,
      from_s: null,
      to_s: null,
      summary: null,
      findings: [],
    });
    expect(assess([])).toMatchObject({ windows: 0, hunting: null, huntingKnown: false, days: [], weeks: [] });
  });

  it('say whether it hunts from an hour judged on', () => {
    const judged = (judgedMinutes: number) => {
      const one = window(0);
      return assess([{ ...one, oscillation: { ...one.oscillation, judgedMinutes } }]).huntingKnown;
    };
    expect(judged(60)).toBe(true);
    expect(judged(59.9)).toBe(false);
  });
});

describe('the cautions of a finding', () => {
  const hazards = (refrigerant: string) =>
    assess(days(7, { superheat: { underLimitFraction: 0.5 } }), refrigerant).findings.find(
      ({ condition }) => condition === 'floodback-risk',
    )!.hazards;

  it('tell a flammable refrigerant from one that is not (ISO 817: R134a A1, R32 A2L)', () => {
    expect(hazards('R134a')).toEqual(['pressure', 'live-parts', 'rotating-parts']);
    expect(hazards('R32')).toContain('flammable');
    expect(hazards('R32')).not.toContain('toxic');
  });

  it('are none where nothing is to be done by hand', () => {
    for (const { visit, hazards: cautions } of assess(days(7, { valve: { nearOpenFraction: 0.3 } })).findings)
      expect(cautions.length > 0).toBe(visit.length > 0);
  });
});
