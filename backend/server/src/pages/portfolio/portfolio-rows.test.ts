import { describe, expect, it } from 'vitest';
import { noRegion } from '../../storage/repositories/findings/attention.repository.js';
import {
  byRegion,
  changeBySite,
  rowsWith,
  siteRow,
  sortedRows,
  type PortfolioRow,
} from './portfolio-rows.js';

const row = (name: string, changed: Partial<PortfolioRow> = {}): PortfolioRow => ({
  ...siteRow(
    {
      siteId: 1,
      key: name,
      name,
      region: null,
      latitude_deg: 48,
      longitude_deg: 9,
      units: 10,
      byUrgency: [0, 0, 0, 0, 10],
      silent: 0,
      modules: 4,
      proven: 4,
      circuits: 20,
      upToDate: 20,
      notJudged: 0,
      expected: 1000,
      missing: 0,
    },
    0,
  ),
  ...changed,
});
const names = (rows: PortfolioRow[]) => rows.map(({ name }) => name);

describe('the rows of a portfolio', () => {
  it('change by what asks something of someone now and did not, and the other way round', () => {
    const unit = (siteId: number, before: number, now: number) => ({
      unitId: 0,
      siteId,
      siteKey: '',
      before,
      now,
    });
    const changed = [
      unit(1, 4, 0),
      unit(1, 3, 2),
      unit(1, 0, 4),
      unit(2, 1, 3),
      unit(3, 2, 0),
      unit(4, 4, 3),
    ];
    // Site 1: two more, one less; site 2: one less; 3 and 4: more urgent, or only to watch.
    expect(Object.fromEntries(changeBySite(changed))).toEqual({ 1: 1, 2: -1, 3: 0, 4: 0 });
  });

  it('are found by all words of their name or region', () => {
    const rows = [
      row('North Hall', { region: 'Coast' }),
      row('South Hall', { region: 'Coast' }),
      row('Clinic'),
    ];
    expect(names(rowsWith(rows, []))).toHaveLength(3);
    expect(names(rowsWith(rows, ['hall']))).toEqual(['North Hall', 'South Hall']);
    expect(names(rowsWith(rows, ['coast', 'south']))).toEqual(['South Hall']);
    expect(names(rowsWith(rows, ['roof']))).toEqual([]);
  });

  it('are sums of their sites by region', () => {
    const regions = byRegion([
      row('a', { region: 'North', byUrgency: [1, 0, 2, 0, 7], change: 2 }),
      row('b', { region: 'North', byUrgency: [0, 3, 0, 0, 7], change: -1 }),
      row('c', { change: null }),
    ]);
    expect(regions).toHaveLength(2);
    expect(regions[0]).toMatchObject({
      key: 'North',
      sites: 2,
      units: 20,
      byUrgency: [1, 3, 2, 0, 14],
      change: 1,
      modules: 8,
    });
    expect(regions[1]).toMatchObject({ key: noRegion, change: null });
  });

  it('add what is given away in energy, and money by its currency', () => {
    const given = (value: number, currency: string) => ({
      givenAway_J_week: { value, uncertainty: value / 10 },
      givenAwayCost_week: [{ currency, value: value / 10, uncertainty: value / 100 }],
    });
    const [north] = byRegion([
      row('a', { region: 'North', ...given(100, 'EUR') }),
      row('b', { region: 'North', ...given(50, 'SEK') }),
      row('c', { region: 'North' }),
    ]);
    expect(north.givenAway_J_week).toEqual({ value: 150, uncertainty: 15 });
    expect(north.givenAwayCost_week.map(({ currency, value }) => [currency, value])).toEqual([
      ['EUR', 10],
      ['SEK', 5],
    ]);
    expect(byRegion([row('c')])[0].givenAway_J_week).toBeNull();
    const rows = [row('none'), row('less', given(1, 'EUR')), row('more', given(2, 'EUR'))];
    expect(names(sortedRows(rows, 'energy', false))).toEqual(['more', 'less', 'none']);
  });

  it('come in each order with the worst first, equals by name', () => {
    const rows = [
      row('calm 10'),
      row('calm 2'),
      row('urgent', { byUrgency: [2, 0, 0, 0, 8], change: -3 }),
      row('soon', { byUrgency: [1, 9, 0, 0, 0], units: 30, change: 4, proven: 1, upToDate: 3 }),
    ];
    expect(names(sortedRows(rows, 'urgency', false))).toEqual(['urgent', 'soon', 'calm 2', 'calm 10']);
    expect(names(sortedRows(rows, 'name', true))).toEqual(['urgent', 'soon', 'calm 10', 'calm 2']);
    for (const order of ['units', 'change', 'proven', 'health'] as const)
      expect(names(sortedRows(rows, order, false))[0], order).toBe('soon');
  });
});
