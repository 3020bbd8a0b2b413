import { describe, expect, it } from 'vitest';
import { optionTable } from '../option-table.js';
import { courseOption, scatterOption, survivalOption } from './study-answers.js';
import { plainTheme } from '../theme.js';

const celsius = (kelvin: number) => kelvin - 273.15;
const same = (value: number) => value;

describe('a figure against another', () => {
  const option = scatterOption(
    [
      {
        group: 'mild',
        points: [
          { x: 300.15, y: 0.1, name: 'harbour, chiller-1' },
          { x: 300.15, y: 0.2, name: 'harbour, chiller-2' },
        ],
        middles: [
          { x: 299.15, p50: 0.1, n: 10, units: 9 },
          { x: 301.15, p50: 0.2, n: 10, units: 3 },
        ],
      },
      { group: 'hot', points: [{ x: 310.15, y: 0.4, name: 'pier, chiller-1' }], middles: [] },
    ],
    { across: 'temperature, °C', up: 'lost, %', convertX: celsius, convertY: (value) => 100 * value },
    plainTheme,
  );

  it('is a mark for each, in the units of the reader, and a line only through groups that are large enough', () => {
    const series = option.series as { type: string; name: string; data: unknown[] }[];
    expect(series.map(({ type, name }) => [type, name])).toEqual([
      ['scatter', 'mild'],
      ['line', 'mild, median'],
      ['scatter', 'hot'],
    ]);
    expect(series[0]!.data[0]).toMatchObject({ name: 'harbour, chiller-1' });
    expect((series[0]!.data[0] as { value: number[] }).value[0]).toBeCloseTo(27, 9);
  });

  it('has each mark in its table, with its name, though two lie at one place', () => {
    const { columns, rows } = optionTable(option);
    expect(columns).toEqual(['name', 'group', 'temperature, °C', 'lost, %']);
    expect(rows).toHaveLength(5);
    expect(rows[1]!.slice(0, 2)).toEqual(['harbour, chiller-2', 'mild']);
    // What the line goes through, with how many are behind it; an open mark where these are of few units.
    expect(rows[2]!.slice(0, 2)).toEqual(['median of 10, in 9 units', 'mild, median']);
    const [, line] = option.series as { data: { symbol: string }[] }[];
    expect(line!.data.map(({ symbol }) => symbol)).toEqual(['circle', 'emptyCircle']);
  });
});

describe('a course over time', () => {
  const at_s = (month: number) => Date.UTC(2026, month) / 1000;
  const point = (month: number, n: number, middle: number | null) => ({
    ...{ time_s: at_s(month), n, members: 2 * n, middle },
    low: middle === null ? null : middle - 0.1,
    high: middle === null ? null : middle + 0.1,
  });

  it('marks points of fewer than five units, and breaks where there is none', () => {
    const option = courseOption(
      [{ group: 'all', points: [point(0, 12, 0.3), point(1, 4, 0.4), point(2, 0, null)] }],
      { up: 'over the limit, %', convert: (value) => 100 * value, bands: true },
      plainTheme,
    );
    const line = (option.series as { name: string; data: { value: unknown[]; symbol: string }[] }[]).find(
      ({ name }) => name === 'all',
    )!;
    expect(line.data.map(({ symbol }) => symbol)).toEqual(['circle', 'emptyCircle', 'emptyCircle']);
    expect(line.data.map(({ value }) => value[1])).toEqual([30, 40, null]);
    expect(option.series).toHaveLength(3);
    const tip = (option.tooltip as { formatter: (items: unknown) => string }).formatter([
      { seriesName: '<b>all</b>', marker: '', axisValueLabel: 'February', data: line.data[1] },
    ]);
    expect(tip).toBe('February<br>&#60;b&#62;all&#60;/b&#62;: 40.00 (8 in 4 units)');
  });

  it('has no bands where there are more than two groups', () => {
    const groups = ['a', 'b', 'c'].map((group) => ({ group, points: [point(0, 9, 0.2)] }));
    expect(courseOption(groups, { up: 'up', convert: same, bands: true }, plainTheme).series).toHaveLength(3);
  });
});

describe('survival', () => {
  it('begins at all of them and goes on to the oldest age that was watched', () => {
    const option = survivalOption(
      [{ group: 'all', seenUntil: 5, steps: [{ age: 2, survival: 0.75, low: 0.5, high: 0.9 }] }],
      'age, years',
      plainTheme,
    );
    const [line] = option.series as { data: number[][]; step: string }[];
    expect(line!.data).toEqual([
      [0, 100],
      [2, 75],
      [5, 75],
    ]);
    expect(line!.step).toBe('end');
    expect(option.series).toHaveLength(3);
  });

  it('has no two of twelve groups alike in colour and dashes, and a month about a single period', () => {
    const point = { time_s: 1_750_000_000, n: 6, members: 8, low: null, middle: 0.5, high: null };
    const groups = Array.from({ length: 12 }, (_, index) => ({ group: `g${index}`, points: [point] }));
    const option = courseOption(groups, { up: 'share', convert: (value) => value, bands: true }, plainTheme);
    const looks = (option.series as { lineStyle: object }[]).map(({ lineStyle }) =>
      JSON.stringify(lineStyle),
    );
    expect(new Set(looks).size).toBe(12);
    const { min, max } = option.xAxis as { min: number; max: number };
    expect((max - min) / 86_400_000).toBe(30);
  });
});
