import { describe, expect, it } from 'vitest';
import type { Portfolio } from '../../api/types.js';
import { urgencyCounts } from '../../components/urgency/urgency-bar.js';
import { changeWords, healthWords, portfolioHeadline, provenWords } from './portfolio-words.js';

const counts = { new: 0, worse: 0, better: 0, gone: 0 };
const portfolio = (changed: Partial<typeof counts>, known = true): Portfolio => ({
  by: 'site',
  asOf: '2026-05-01T00:00:00Z',
  judgingSince: '2025-05-01T00:00:00Z',
  units: 10,
  month: { since: '2026-04-01T00:00:00Z', known, counts: { ...counts, ...changed } },
  change: { since: '2026-02-01T00:00:00Z', known },
  rows: [],
  places: 0,
  total: 0,
  page: 1,
  pages: 1,
});

describe('the portfolio in words', () => {
  it('says what got worse and better this month', () => {
    expect(portfolioHeadline(portfolio({ new: 2, worse: 1, gone: 4 }))).toBe(
      '3 units got worse and 4 better this month.',
    );
    expect(portfolioHeadline(portfolio({ new: 1 }))).toBe('1 unit got worse this month, none better.');
    expect(portfolioHeadline(portfolio({ better: 2 }))).toBe('2 units got better this month, none worse.');
    expect(portfolioHeadline(portfolio({}))).toBe('No unit got worse or better this month.');
  });
  it('claims no month that was not judged, and of what was found first not that it got worse', () => {
    expect(portfolioHeadline(portfolio({ new: 5 }, false))).toBe(
      '5 units have been found to need someone since judging began.',
    );
    expect(portfolioHeadline(portfolio({ new: 1, gone: 2 }, false))).toBe(
      '1 unit has been found to need someone since judging began; 2 got better.',
    );
    expect(portfolioHeadline({ ...portfolio({}), judgingSince: null })).toBe('Nothing has been judged yet.');
    expect(changeWords({ change: null })).toBe('not known yet');
  });
  it('says changes, closings and data without a sign or a colour', () => {
    expect([3, 0, -2].map((change) => changeWords({ change }))).toEqual(['3 more', 'as many', '2 fewer']);
    expect(provenWords({ proven: 3, modules: 4 })).toBe('3 of 4');
    expect(provenWords({ proven: 0, modules: 0 })).toBe('no modules');
    const all = { expected: 8640, missing: 0 };
    expect(healthWords({ circuits: 4, upToDate: 4, silent: 0, notJudged: 0, ...all })).toBe('complete');
    expect(healthWords({ circuits: 4, upToDate: 1, silent: 1, notJudged: 2, ...all, missing: 864 })).toBe(
      '1 unit sends nothing; 10.0 % of the day’s samples missing; 3 of 4 circuits not judged for 6 h; 2 windows or closings failed',
    );
    expect(urgencyCounts({ today: 1, thisWeek: 0, nextVisit: 2, watch: 0, quiet: 7 })).toBe(
      '1 today, 2 next visit, 7 without findings',
    );
  });
});
