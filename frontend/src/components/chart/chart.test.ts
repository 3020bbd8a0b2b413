import { describe, expect, it } from 'vitest';
import { isNarrow, withLegendInOneRow, withSelection } from './chart.js';

describe('a chart that is drawn anew', () => {
  it('leaves off the lines that the reader has switched off, in all of its legends', () => {
    const selected = { Setpoint: false };
    expect(withSelection({ legend: [{ top: 1 }, { top: 2 }] }, selected).legend).toEqual([
      { top: 1, selected },
      { top: 2, selected },
    ]);
    expect(withSelection({ legend: { top: 1 } }, selected).legend).toEqual({ top: 1, selected });
    expect(withSelection({}, selected)).toEqual({});
  });
});

describe('a narrow chart', () => {
  it('is one of a phone, and not one that is not laid out yet', () => {
    expect([isNarrow(358), isNarrow(1120), isNarrow(0)]).toEqual([true, false, false]);
  });
  it('keeps its names to one row, and a wide one leaves them as they are', () => {
    const option = { legend: { top: 4, type: 'plain' as const, textStyle: { color: '#123456' } } };
    expect(withLegendInOneRow(option, true).legend).toMatchObject({
      type: 'scroll',
      pageIconColor: '#123456',
    });
    expect(withLegendInOneRow(option, false)).toBe(option);
    expect(withLegendInOneRow({}, true)).toEqual({});
  });
});
