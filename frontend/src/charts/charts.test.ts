import type { LineSeriesOption } from 'echarts';
import { describe, expect, it } from 'vitest';
import { closingOption, reserveOption } from './backup.js';
import { cycleOption } from './cycle.js';
import { alternate, floorOption, loopOption, traceOption } from './hunting.js';
import { band, openingEnds, points } from './parts.js';
import { ageingOption } from './study/study.js';
import { plainTheme } from './theme.js';
import type { TimelineData } from './timeline/data.js';
import { timeline, timelineOption, timelineWindow } from './timeline/option.js';
import { panelLines } from './timeline/painting/paint-panel.js';
import { readoutAt } from './timeline/readout.js';
import { timeMarks } from './timeline/time-axis.js';
import { panelScales, scaleMarks, superheatScale } from './timeline/panel-scales.js';

const find = (option: { series?: unknown }, name: string) =>
  (option.series as LineSeriesOption[]).find((entry) => entry.name === name);

describe('points of a line', () => {
  it('carry seconds as milliseconds and break where the data are silent', () => {
    expect(points([0, 10, 100], [1, 2, 3], { gap: 30, scaleX: 1000 })).toEqual([
      [0, 1],
      [10_000, 2],
      [25_000, null],
      [100_000, 3],
    ]);
  });
});

describe('a band', () => {
  it('is a base and the difference above it, and absent where either edge is', () => {
    const [base, height] = band(
      'b',
      [
        [0, 2],
        [1, null],
      ],
      [
        [0, 5],
        [1, 6],
      ],
      '#000',
    );
    expect(base.data).toEqual([
      [0, 2],
      [1, null],
    ]);
    expect(height.data).toEqual([
      [0, 3],
      [1, null],
    ]);
  });
});

const columns = [
  'superheat_K',
  'superheatMinimum_K',
  'superheatMaximum_K',
  'superheatUncertainty_K',
  'superheatSetpoint_K',
  'valveOpening_pct',
  'valveOpeningMinimum_pct',
  'valveOpeningMaximum_pct',
  'suctionPressure_Pa',
  'dischargePressure_Pa',
  'suctionTemperature_K',
  'suctionSaturationTemperature_K',
  'dischargeTemperature_K',
  'dischargeSaturationTemperature_K',
  'liquidTemperature_K',
  'compressorLoad_pct',
] as const;

const readings = (values: Partial<TimelineData>): TimelineData => ({
  resolution_s: 10,
  time_s: [0, 10],
  floodbackLimit_K: 2,
  mainsLosses: [],
  ...(Object.fromEntries(columns.map((name) => [name, [null, null]])) as unknown as Record<
    (typeof columns)[number],
    null[]
  >),
  ...values,
});
const view = { end_s: 100, narrow: false };

describe('the time chart of a circuit', () => {
  const data = readings({
    superheat_K: [5, 6],
    superheatUncertainty_K: [0.5, 0.5],
    suctionPressure_Pa: [1e5, 2e5],
  });
  const option = timelineOption(timeline(data, null, view, plainTheme, 'si'));

  it('shows superheat and its limit in the units of the reader', () => {
    // 5 K = 9 degrees Fahrenheit of difference, 2 K = 3.6; exact.
    const shown = timeline(data, null, view, plainTheme, 'inch-pound');
    expect(find(timelineOption(shown), 'Superheat')?.data).toEqual([
      [0, 9],
      [10_000, 10.8],
    ]);
    expect(shown.panels[0]).toMatchObject({
      unit: '°F',
      limit: { value: 3.6, words: 'floodback limit 3.6 °F' },
    });
  });
  it('shows two standard uncertainties as a band of four in height', () => {
    expect(find(option, 'Uncertainty, two standard from')?.data).toEqual([
      [0, 4],
      [10_000, 5],
    ]);
    expect(find(option, 'Uncertainty, two standard')?.data).toEqual([
      [0, 2],
      [10_000, 2],
    ]);
  });
  it('scales superheat to what is usual, and not to the spike of a start', () => {
    const usual = Array.from({ length: 400 }, (_, index) => 5 + (index % 3));
    const scale = superheatScale(readings({ superheat_K: [...usual, 60, 55], floodbackLimit_K: 2 }))!;
    expect(scale.low).toBeLessThan(2);
    expect(scale.high).toBeGreaterThan(7);
    expect(scale.high).toBeLessThan(10);
  });
  it('scales pressures and temperatures to what their lines show, in round steps from end to end', () => {
    const steady = readings({ suctionPressure_Pa: [4e5, 4e5], suctionTemperature_K: [279.15, 283.15] });
    const { lines } = timeline(steady, null, view, plainTheme, 'si');
    const [, opening, pressure, temperature] = panelScales(steady, lines, 'si');
    expect(opening).toEqual({ min: 0, max: 100, interval: 25 });
    // One value alone lies inside; 6 to 10 °C: exact.
    expect(pressure.min).toBeLessThan(4);
    expect(pressure.max).toBeGreaterThan(4);
    expect(temperature).toEqual({ min: 6, max: 10, interval: 1 });
    expect(scaleMarks(temperature)[0]).toEqual({ down: 1, words: '6' });
    expect(scaleMarks(temperature).at(-1)).toEqual({ down: 0, words: '10' });
  });
  it('shows a stretch by the clock of the site', () => {
    // PUBLISHED: IANA time zone database: this zone is eight hours ahead of UTC at any time, its sign being reversed.
    const ends = timelineWindow({ from_s: 0.25, to_s: 60 }, { zone: 'Etc/GMT-8' });
    const ahead_ms = 8 * 3_600_000;
    expect(ends).toEqual({ from: ahead_ms + 250, to: ahead_ms + 60_000 });
  });
  it('draws each line in the panel that it belongs to, and none twice', () => {
    const shown = timeline(data, null, view, plainTheme, 'si');
    const window = { from: 0, to: 100_000, width: 100 };
    const drawn = [...shown.panels.keys()].map((panel) => panelLines(shown, panel, window));
    expect(drawn.flatMap((lines) => lines.map(({ name }) => String(name))).sort()).toEqual(
      shown.lines.map(({ name }) => String(name)).sort(),
    );
    expect(find({ series: drawn[2] }, 'Suction')).toBeDefined();
  });
  it('leaves out what was never sent, and of what was, the lines that the reader has switched off', () => {
    expect(find(option, 'Discharge gas')).toBeUndefined();
    expect(find(option, 'Suction')?.data).toEqual([
      [0, 1],
      [10_000, 2],
    ]);
    const hidden = new Set(['Uncertainty, two standard']);
    const less = timeline(data, null, { ...view, hidden }, plainTheme, 'si');
    expect(less.lines.map(({ name }) => name)).toEqual(['Superheat', 'Suction']);
    // Named still, so that they can be switched on again.
    expect(less.panels[0].legend.map(({ name }) => name)).toEqual(['Uncertainty, two standard', 'Superheat']);
  });
  it('shades a mains loss in the upper panels and to the end where the mains has not come back', () => {
    const lost = { ...data, mainsLosses: [{ from_s: 20, to_s: null }] };
    const drawn = timelineOption(timeline(lost, null, view, plainTheme, 'si'));
    expect(find(drawn, 'Superheat')?.markArea?.data).toEqual([[{ xAxis: 20_000 }, { xAxis: 100_000 }]]);
  });
  it('says at the cursor what each line shows at its nearest reading, and nothing where none is near', () => {
    const { lines, panels } = timeline(data, null, view, plainTheme, 'si');
    const units = panels.map(({ unit }) => unit);
    const read = readoutAt(lines, 9_000, 5_000, units)!;
    expect(read.at).toBe(10_000);
    expect(read.time).toBe('Thu 1 Jan, 00:00:10');
    expect(read.rows.map(({ name, value }) => [name, value])).toEqual([
      ['Superheat', '6.00 K'],
      ['Suction', '2.00 bar abs'],
    ]);
    expect(readoutAt(lines, 90_000, 5_000, units)).toBeNull();
  });
});

describe('the marks of a time axis', () => {
  const at = Date.UTC(2026, 2, 4);
  const words = (from: number, to: number, width = 1100) =>
    timeMarks(from, to, width).map((mark) => mark.words);
  it('are times of the day, the day where one begins, and seconds where they are close', () => {
    expect(words(at - 3_600_000, at + 3_600_000, 450)).toEqual(['23:00', '23:30', '4 Mar', '00:30', '01:00']);
    expect(words(at + 1_000, at + 11_000, 220)).toEqual(['00:00:05', '00:00:10']);
    expect(words(at, at + 4 * 86_400_000, 450)).toEqual(['4 Mar', '5 Mar', '6 Mar', '7 Mar', '8 Mar']);
  });
  it('lie where their time does', () => {
    expect(timeMarks(at, at + 7_200_000, 220).map(({ along }) => along)).toEqual([0, 0.5, 1]);
  });
});

describe('an axis of valve openings', () => {
  it('never reaches beyond shut or fully open, though the valve does not move', () => {
    const ends = (min: number, max: number) => [openingEnds.min({ min }), openingEnds.max({ max })];
    expect(ends(100, 100)).toEqual([90, 100]);
    expect(ends(0, 0)).toEqual([0, 10]);
    expect(ends(41, 62)).toEqual([30, 70]);
  });
});

describe('pictures of hunting', () => {
  it('shade every second cycle', () => {
    expect(alternate(['a', 'b', 'c'])).toEqual(['a', 'c']);
    const trace = {
      time_s: [0, 10],
      superheat_K: [1, 2],
      valveOpening_pct: [3, 4],
      superheatSetpoint_K: [null, null],
    };
    const option = traceOption(
      trace,
      [
        { from_s: 0, to_s: 5 },
        { from_s: 5, to_s: 10 },
      ],
      2,
      plainTheme,
      'si',
    );
    expect(find(option, 'Superheat')?.markArea?.data).toEqual([[{ xAxis: 0 }, { xAxis: 5000 }]]);
  });
  it('close the mean cycle of the loop, and draw none where there is none', () => {
    const samples = { valveOpening_pct: [10, 20], superheat_K: [1, 2] };
    const meanCycle = [
      { valveOpening_pct: 10, superheat_K: 1 },
      { valveOpening_pct: 20, superheat_K: 2 },
    ];
    expect(find(loopOption({ ...samples, meanCycle }, plainTheme, 'si'), 'Mean cycle')?.data).toEqual([
      [10, 1],
      [20, 2],
      [10, 1],
    ]);
    expect(find(loopOption({ ...samples, meanCycle: [] }, plainTheme, 'si'), 'Mean cycle')?.data).toEqual([]);
  });
  it('draw the floor only where it is claimed', () => {
    const part = { uncertainty_K: null, steadyWindows: 1, huntingWindows: 0, steadyHours: 2 };
    const option = floorOption(
      {
        against: 'compressor-load',
        parts: [
          { ...part, from: 0, to: 20, floor_K: null, bracketed: false },
          { ...part, from: 20, to: 40, floor_K: 4, bracketed: true },
          { ...part, from: 40, to: 60, floor_K: 5, bracketed: false },
        ],
        points: [],
      },
      plainTheme,
      'si',
    );
    expect(find(option, 'Steady floor')?.data).toEqual([
      [0, null],
      [20, 4],
      [40, 4],
      [40, null],
    ]);
    expect(find(option, 'Upper bound of the floor')?.data).toEqual([
      [0, null],
      [20, null],
      [40, 5],
      [60, 5],
    ]);
  });
});

describe('pictures of the backup module', () => {
  it('lay the forecast range on its limit, and leave it out where it is refused', () => {
    const history = [{ time_s: 0, reserve: 2, uncertainty: null, proof: true }];
    const limits = [{ limit: 1.5, date_s: { p10: 10, p50: 20, p90: 30 }, openEnded: false }];
    expect(
      find(reserveOption({ history, forecast: { limits } }, plainTheme), 'Expected crossing, P10 to P90')
        ?.data,
    ).toEqual([
      [10_000, 1.5],
      [20_000, 1.5],
      [30_000, 1.5],
    ]);
    expect(
      find(reserveOption({ history, forecast: null }, plainTheme), 'Expected crossing, P10 to P90'),
    ).toBeUndefined();
  });
  it('draw no fit where there was no estimate', () => {
    const curve = { time_s: [0, 1], voltage_V: [16, 15], current_A: [1, 1], valveOpening_pct: [50, 0] };
    expect(
      find(closingOption({ curve, fit: null, minimumVoltage_V: 9 }, plainTheme), 'Fitted discharge')?.data,
    ).toEqual([]);
  });
});

describe('the pressure-enthalpy diagram', () => {
  it('puts enthalpy across and pressure up', () => {
    const empty = { pressure_Pa: [], enthalpy_J_kg: [] };
    const option = cycleOption(
      { bubbleLine: { pressure_Pa: [1e5], enthalpy_J_kg: [2e5] }, dewLine: empty, points: [], path: empty },
      plainTheme,
      'si',
    );
    expect(find(option, 'Bubble line')?.data).toEqual([[200, 1]]);
  });
  it('closes its dome where the lines end, and stays in absolute pressure beside gauges', () => {
    const line = (enthalpies: number[]) => ({ pressure_Pa: [1e5, 3e6], enthalpy_J_kg: enthalpies });
    const option = cycleOption(
      {
        bubbleLine: line([0, 1e5]),
        dewLine: line([2e5, 1.5e5]),
        points: [],
        path: { pressure_Pa: [], enthalpy_J_kg: [] },
      },
      plainTheme,
      { measures: 'si', ambient_Pa: 101_325 },
    );
    expect(find(option, 'Top of the dome')?.data).toEqual([
      [100, 30],
      [150, 30],
    ]);
    expect(option.yAxis).toMatchObject({ name: 'pressure, bar abs' });
  });
});

describe('the ageing of cohorts', () => {
  const cohort = (name: string) => ({
    cohort: name,
    ageYears: [0.125, 0.375],
    low: [0.96, null],
    middle: [0.98, 0.95],
    high: [0.99, 0.97],
  });
  const axes = { across: 'age at 25 °C, years', up: 'capacitance, of its own new value' };

  it('is drawn against the age that was asked for, a line per cohort', () => {
    const option = ageingOption([cohort('a'), { ...cohort('b'), middle: [1, null] }], axes, plainTheme);
    expect(option.xAxis).toMatchObject({ name: axes.across });
    expect(option.yAxis).toMatchObject({ name: axes.up });
    expect(find(option, 'a')?.data).toEqual([
      [0.125, 0.98],
      [0.375, 0.95],
    ]);
    expect(find(option, 'b')?.data).toEqual([
      [0.125, 1],
      [0.375, null],
    ]);
  });
  it('breaks where no module has been seen at an age', () => {
    const apart = { cohort: 'a', ageYears: [0.125, 0.375, 1.125], middle: [1, 0.98, 0.9] };
    const data = find(ageingOption([apart], axes, plainTheme), 'a')!.data as [number, number | null][];
    expect(data.map(([, value]) => value)).toEqual([1, 0.98, null, 0.9]);
  });
  it('has its spread as a band where there are one or two cohorts, and only where both edges are known', () => {
    const few = ageingOption([cohort('a')], axes, plainTheme);
    const [first, second] = find(few, 'a spread')!.data as [number, number | null][];
    expect(first[0]).toBe(0.125);
    // 0.99 less 0.96.
    expect(first[1]).toBeCloseTo(0.03, 12);
    expect(second).toEqual([0.375, null]);
    const many = ageingOption([cohort('a'), cohort('b'), cohort('c')], axes, plainTheme);
    expect(find(many, 'a spread')).toBeUndefined();
  });
  it('tells cohorts apart by shape and dashes, not by colour alone', () => {
    const option = ageingOption([cohort('a'), cohort('b')], axes, plainTheme);
    const [a, b] = ['a', 'b'].map((name) => find(option, name)!);
    expect(a.symbol).not.toBe(b.symbol);
    expect(a.lineStyle!.type).not.toEqual(b.lineStyle!.type);
  });
});
