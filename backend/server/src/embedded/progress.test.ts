import { describe, expect, it } from 'vitest';
import { includesHistory, type Progress, type SentHistory } from './progress.js';

const end_s = Date.parse('2026-05-01T12:00:00Z') / 1000;
const progress = (given: Partial<Progress>): Progress => ({
  ...{
    readings: 1_000,
    windowsDue: 0,
    windowsJudged: 12,
    readingsPerSecond: 0,
    settled: true,
    upToDate: true,
  },
  newestReading: '2026-05-01T11:59:50Z',
  ...given,
});
const later = '2026-05-01T12:00:10Z';

describe('the line that history is loaded and judged', () => {
  it('waits while the simulator has more to send, however much rests meanwhile', () => {
    const history: SentHistory = { until_s: null };
    const done = includesHistory(history);
    // All that came so far is judged and ranked, and a live unit is ahead of the others.
    for (let count = 0; count < 5; count++) expect(done(progress({ newestReading: later }))).toBe(false);
    history.until_s = end_s;
    expect(done(progress({ newestReading: later }))).toBe(false);
    expect(done(progress({ newestReading: later }))).toBe(true);
  });

  it('waits until what was sent is stored, which a reading from after its end tells', () => {
    const done = includesHistory({ until_s: end_s });
    expect(done(progress({}))).toBe(false);
    expect(done(progress({}))).toBe(false);
    // This answer may have been counted before the last of the history was stored.
    expect(done(progress({ newestReading: later }))).toBe(false);
    expect(done(progress({ newestReading: later }))).toBe(true);
  });

  it('waits until findings, diagnoses and the round follow from what is judged', () => {
    const done = includesHistory({ until_s: end_s });
    expect(done(progress({ newestReading: later }))).toBe(false);
    expect(done(progress({ newestReading: later, upToDate: false }))).toBe(false);
    expect(done(progress({ newestReading: later, upToDate: false }))).toBe(false);
    expect(done(progress({ newestReading: null }))).toBe(true);
  });
});
