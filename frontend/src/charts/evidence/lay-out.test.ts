import { describe, expect, it } from 'vitest';
import { layOut } from './lay-out.js';
import type { Picture } from './picture.js';
import { csvOf, tableOf } from './table.js';

const picture: Picture = {
  x: { kind: 'number', title: 'Time from the start', unit: 's' },
  panels: [
    {
      title: 'Superheat',
      unit: 'K',
      weight: 1,
      marks: [
        { name: 'Superheat', shape: 'line', tone: 1, x: [0, 1, 5, 10], y: [0, 10, null, 5], gap: 6 },
        { name: 'Bars, red', shape: 'bars', tone: 2, x: [5], y: [10], width: 2, beyond: [true] },
      ],
      levels: [{ value: 5, words: 'limit' }],
    },
  ],
  spans: [{ from: 0, to: 5 }],
  lines: [{ at: 10, words: 'end' }],
  beside: [],
  says: 'It swings.',
  caption: '',
};

describe('the geometry of a picture', () => {
  const small = layOut(picture, { width: 104, height: 58, small: true });
  it('breaks a line where a value is missing', () => {
    // x from 2 to 102 for 0..10; y from 54 (0 K) to 4 (10 K).
    expect(small.panels[0].paths[0].d).toBe('M2,54L12,4M102,29Z');
  });
  it('places levels, shaded stretches and verticals on the same scales', () => {
    expect(small.panels[0].levels[0].y).toBe(29);
    expect(small.spans).toEqual([{ x: 2, width: 50 }]);
    expect(small.lines[0].x).toBe(102);
  });
  it('stands bars on zero and marks those beyond a limit', () => {
    const [bar] = small.panels[0].bars;
    expect(bar).toMatchObject({ tone: 'limit', x: 42, y: 4, height: 50 });
  });
  it('has axes only where there is room for them', () => {
    expect(small.ticks).toEqual([]);
    const large = layOut(picture, { width: 640, height: 300, small: false });
    expect(large.ticks.map(({ words }) => words)).toEqual(['0', '2', '4', '6', '8', '10']);
    expect(large.panels[0].ticks.length).toBeGreaterThan(2);
    // In a low panel figures do not stand on each other.
    for (const height of [77, 90, 124, 300]) {
      const [{ ticks }] = layOut(picture, { width: 420, height, small: false }).panels;
      const places = ticks.map(({ y }) => y);
      for (const [k, y] of places.entries())
        if (k > 0) expect(Math.abs(y - places[k - 1])).toBeGreaterThan(11);
      expect(ticks.length).toBeGreaterThan(1);
    }
    // One mark alone would tell no scale.
    expect(layOut(picture, { width: 260, height: 300, small: false }).ticks.length).toBeGreaterThan(1);
  });
  it('names days and hours of a time axis by the clock', () => {
    const day = { ...picture, x: { kind: 'time' as const, title: 'Time', unit: '' }, lines: [], spans: [] };
    day.panels = [
      { ...picture.panels[0], marks: [{ ...picture.panels[0].marks[0], x: [0, 1, 2, 43_200_000] }] },
    ];
    const { ticks } = layOut(day, { width: 640, height: 300, small: false });
    expect(ticks[0].words).toBe('1 Jan');
    expect(ticks[1].words).toMatch(/^\d\d:00$/);
  });
});

describe('the table of a picture', () => {
  it('has a column for each mark with its unit, and a row for each x', () => {
    expect(tableOf(picture)).toEqual({
      columns: ['Time from the start, s', 'Superheat, K', 'Bars, red, K'],
      rows: [
        [0, 0, null],
        [1, 10, null],
        [5, null, 10],
        [10, 5, null],
      ],
    });
  });
  it('is CSV after RFC 4180, quoted where a name holds a comma', () => {
    expect(csvOf(tableOf(picture)).split('\r\n').slice(0, 2)).toEqual([
      '"Time from the start, s","Superheat, K","Bars, red, K"',
      '0,0,',
    ]);
  });
});
