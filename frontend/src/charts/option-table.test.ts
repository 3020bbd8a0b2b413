import { describe, expect, it } from 'vitest';
import { csvOf } from './evidence/table.js';
import { optionTable } from './option-table.js';
import { band } from './parts.js';

const at = Date.UTC(2026, 0, 2, 3, 4, 5);

describe('the table of a chart', () => {
  it('has a row for each place and a column for each line', () => {
    const table = optionTable({
      xAxis: { type: 'value', name: 'age, years' },
      series: [
        {
          type: 'line',
          name: 'a',
          data: [
            [2, 0.9],
            [1, 1],
          ],
        },
        {
          type: 'line',
          name: 'b, of rated',
          data: [
            [1, null],
            [3, 0.5],
          ],
        },
      ],
    });
    expect(table).toEqual({
      columns: ['age, years', 'a', 'b, of rated'],
      rows: [
        [1, 1, null],
        [2, 0.9, null],
        [3, null, 0.5],
      ],
    });
    expect(csvOf(table).split('\r\n')[0]).toBe('"age, years",a,"b, of rated"');
  });
  it('has six digits, without what a conversion leaves behind', () => {
    const { rows } = optionTable({
      xAxis: {},
      series: [{ type: 'line', name: 'Temperature', data: [[0.1 + 0.2, 303.369 - 273.15]] }],
    });
    expect(rows).toEqual([[0.3, 30.219]]);
  });
  it('names times by the clock that the chart shows', () => {
    const { columns, rows } = optionTable({
      xAxis: [{ type: 'time' }, { type: 'time' }],
      series: [{ type: 'line', name: 'Superheat', data: [[at, 6]] }],
    });
    expect(columns[0]).toBe('time, by the site’s clock');
    expect(rows).toEqual([['2026-01-02 03:04:05', 6]]);
  });
  it('takes points by their value, and leaves out what is no reading', () => {
    const { columns, rows } = optionTable({
      xAxis: {},
      series: [
        { type: 'scatter', name: 'States', data: [{ name: '1', value: [4, 5, 6] }, { value: 'none' }] },
        { type: 'line', name: 'Markers', data: [] },
      ],
    });
    expect(columns).toEqual(['across', 'States']);
    expect(rows).toEqual([[4, 5]]);
  });
  it('gives both edges of a band', () => {
    const low: [number, number | null][] = [
      [1, 2],
      [2, null],
    ];
    const high: [number, number | null][] = [
      [1, 5],
      [2, 7],
    ];
    const { columns, rows } = optionTable({ xAxis: {}, series: band('Spread', low, high, '#000') });
    expect(columns).toEqual(['across', 'Spread, lower edge', 'Spread, upper edge']);
    expect(rows).toEqual([[1, 2, 5]]);
  });
});
