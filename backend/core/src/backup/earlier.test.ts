import { describe, expect, it } from 'vitest';
import { assessModule } from './assess-module.js';
import type { EarlierAssessment } from './earlier.js';
import { circuit, dailyTests, day_s, module, noReadings, start_s } from './sample-modules.js';

/** A module that has lost a fifth of its new 1.0 F after 300 days. */
const closings = dailyTests(300, (day) => ({ capacitance_F: 1 - (0.2 * day) / 300 }));
const new_ = { ...module, installedOn: new Date(start_s * 1000).toISOString().slice(0, 10) };
const assess = (from_d: number, to_d: number, earlier: EarlierAssessment | null, entry = new_) =>
  assessModule({
    module: entry,
    circuits: [circuit],
    closings: closings.slice(from_d, to_d),
    readings: noReadings,
    now_s: start_s + to_d * day_s,
    earlier,
  });

describe('an assessment whose closings no longer reach back to the first weeks', () => {
  const first = assess(0, 200, null);
  const alone = assess(190, 300, null);
  const later = assess(190, 300, first);

  it('keeps the own new value that an earlier one found, and would take the rated one without', () => {
    expect(first.baseline).toMatchObject({ from: 'own' });
    expect(alone.baseline).toMatchObject({ from: 'rated' });
    expect(later.baseline).toEqual(first.baseline);
  });

  it('keeps the months before, and each month once, in time order', () => {
    const months = later.ageing.map(({ month_s }) => month_s);
    expect(months).toEqual([...new Set(months)].sort((a, b) => a - b));
    expect(months[0]).toBe(first.ageing[0]!.month_s);
    expect(months.at(-1)).toBe(alone.ageing.at(-1)!.month_s);
    expect(later.ageing.slice(0, 4)).toEqual(first.ageing.slice(0, 4));
  });

  it('takes the month in which they begin from the assessment that saw more of it', () => {
    // From 10 January on, day 190 is 19 July and day 199 the 28th: 28 tests of July were seen first, 13 now.
    const begins_s = alone.ageing[0]!.month_s;
    const of = (months: typeof later.ageing) => months.find(({ month_s }) => month_s === begins_s)!.tests;
    expect([of(first.ageing), of(alone.ageing), of(later.ageing)]).toEqual([28, 13, 28]);
  });

  it('takes the months since from itself alone', () => {
    // Day 100 is 20 April, of which it saw 11 tests; the earlier one saw all of April, and went on to July.
    const { ageing } = assess(100, 300, first);
    const months = ageing.map(({ month_s }) => month_s);
    expect(months).toEqual([...new Set(months)].sort((a, b) => a - b));
    expect(ageing[3]).toEqual(first.ageing[3]);
    const own = assess(100, 300, null).ageing;
    expect(ageing.slice(4)).toEqual(own.slice(1));
    expect(own.slice(1)).not.toEqual(first.ageing.slice(4));
  });

  it('keeps nothing of the module that it replaced', () => {
    const replaced = assess(190, 300, first, { ...new_, installedOn: '2025-07-01' });
    expect(replaced.ageing[0]!.month_s).toBe(alone.ageing[0]!.month_s);
    expect(replaced.baseline.capacitance_F).not.toBe(first.baseline.capacitance_F);
  });
});
