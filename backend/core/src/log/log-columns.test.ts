import { describe, expect, it } from 'vitest';
import { SeriesError } from '../signals/series-error.js';
import { readLogColumns } from './log-columns.js';

const value = (header: string, cell: number, atmosphere_Pa?: number) => {
  const { series, read, warnings } = readLogColumns({ time_s: [0], [header]: [cell] }, atmosphere_Pa);
  if (read.length === 0) return warnings[0];
  return series[read[0]!.column as keyof typeof series][0];
};

describe('a unit in a header', () => {
  it.each([
    // PUBLISHED: NIST SP 811, appendix B: psi 6894.757 Pa, hp (550 ft lbf/s) 745.6999 W, US gallon a minute 6.309020e-5 m3/s.
    ['suction_pressure_Pa', 3e5, 3e5],
    ['suction_pressure_hPa', 3000, 3e5],
    ['suction_pressure_kPa', 300, 3e5],
    ['suction_pressure_MPa', 0.3, 3e5],
    ['suction_pressure_mbar', 3000, 3e5],
    ['suction_pressure_bar', 3, 3e5],
    ['suction_pressure_psi', 50, 344_737.85],
    ['suction_pressure_psia', 50, 344_737.85],
    ['suction_temperature_K', 280, 280],
    ['suction_temperature_degC', 7, 280.15],
    ['suction_temperature_C', 7, 280.15],
    ['suction_temperature_Cel', 7, 280.15],
    ['suction_temperature_F', 44.6, 280.15],
    ['superheat_setpoint_K', 6, 6],
    ['superheat_setpoint_degC', 6, 6],
    ['superheat_setpoint_F', 10.8, 6],
    ['valve_opening_pct', 40, 40],
    ['valve_opening_percent', 40, 40],
    ['compressor_load_share', 0.4, 40],
    ['flow_m3_s', 0.01, 0.01],
    ['flow_m3_h', 36, 0.01],
    ['flow_l_s', 10, 0.01],
    ['flow_l_min', 600, 0.01],
    ['flow_gpm', 100, 6.30902e-3],
    ['compressor_power_W', 20_000, 20_000],
    ['compressor_power_kW', 20, 20_000],
    ['compressor_power_MW', 0.02, 20_000],
    ['compressor_power_hp', 10, 7457],
  ])('%s of %d is %d in SI', (header, cell, si) => {
    expect((value(header, cell) as number) / si).toBeCloseTo(1, 6);
  });

  it('that says gauge has the atmosphere added', () => {
    expect(value('suction_pressure_barg', 2)).toBeCloseTo(301_325, 6);
    expect(value('suction_pressure_barg', 2, 90_000)).toBeCloseTo(290_000, 6);
    expect(value('suction_pressure_kPag', 200)).toBeCloseTo(301_325, 6);
    expect(value('suction_pressure_Pag', 2e5)).toBeCloseTo(301_325, 6);
    expect((value('suction_pressure_psig', 50) as number) / (344_737.85 + 101_325)).toBeCloseTo(1, 6);
  });

  it('may be written with hyphens, spaces and capitals', () => {
    expect(value(' Suction-Pressure bar ', 3)).toBe(3e5);
    expect(value('VALVE_OPENING_PCT', 3)).toBe(3);
  });

  it('is asked for where it is missing or not known, and never guessed', () => {
    expect(value('suction_pressure', 3)).toMatch(/does not say the unit/);
    expect(value('suction_pressure_furlong', 3)).toMatch(/unit "furlong" is not known for a pressure/);
    expect(value('valve_opening_2_pct', 3)).toMatch(/not one of the telemetry names/);
    expect(value('mood', 3)).toMatch(/not one of the telemetry names/);
  });
});

describe('the rows of a log', () => {
  const times = (header: string, cells: (number | string)[]) => {
    const { series, warnings } = readLogColumns({
      [header]: cells,
      valve_opening_pct: cells.map((_, i) => i),
    });
    return { time_s: [...series.time_s], opening: [...series.valveOpening_pct], warnings };
  };

  it('have their time in seconds, minutes, milliseconds or by ISO 8601', () => {
    expect(times('time_s', [0, 10]).time_s).toEqual([0, 10]);
    expect(times('time', [0, 10]).time_s).toEqual([0, 10]);
    expect(times('time_min', [0, 10]).time_s).toEqual([0, 600]);
    expect(times('time_ms', [0, 10]).time_s).toEqual([0, 0.01]);
    expect(times('timestamp', ['2026-01-02 03:04:05', '2026-01-02T03:04:15Z']).time_s).toEqual([
      Date.UTC(2026, 0, 2, 3, 4, 5) / 1000,
      Date.UTC(2026, 0, 2, 3, 4, 15) / 1000,
    ]);
    expect(times('time', ['2026-01-02T03:04:05+01:00']).time_s).toEqual([
      Date.UTC(2026, 0, 2, 2, 4, 5) / 1000,
    ]);
    expect(times('time', ['2026-01-02']).time_s).toEqual([Date.UTC(2026, 0, 2) / 1000]);
  });

  it('are put in order, doubled and timeless ones left out, each with a warning', () => {
    const mixed = times('time_s', [20, 0, 10, 10, 'soon', '']);
    expect(mixed.time_s).toEqual([0, 10, 20]);
    expect(mixed.opening).toEqual([1, 2, 0]);
    expect(mixed.warnings).toEqual([
      '3 of 6 rows are not used. 2 rows have no readable time (for example "soon") and are left out. 1 row repeats a time and is left out.',
      'Rows are not in the order of time and were put in order.',
    ]);
    expect(times('time_s', [0, 10]).warnings).toEqual([]);
  });

  it('have NaN where a cell is empty', () => {
    const { series } = readLogColumns({ time_s: [0, 1, 2], valve_opening_pct: ['5', ' ', ''] });
    expect([...series.valveOpening_pct]).toEqual([5, NaN, NaN]);
  });

  it('are refused without a time, and where two columns say the same', () => {
    expect(() => readLogColumns({ valve_opening_pct: [1] })).toThrow(SeriesError);
    expect(() => readLogColumns({})).toThrow(/nothing/);
    expect(() =>
      readLogColumns({ time_s: [0], suction_pressure_bar: [3], suction_pressure_Pa: [3e5] }),
    ).toThrow(/says the same as column "suction_pressure_bar"/);
  });

  it('are an error where more than half of them cannot be used', () => {
    expect(() => times('time', ['2026-11-27 10:00', 'x', 'y'])).toThrow(/2 of 3 rows cannot be used/);
  });

  it('are told first where more than one in a hundred is not used, and among the others where fewer', () => {
    const some = (wrong: number) =>
      times('time_s', [...Array.from({ length: 300 }, (_, k) => k), ...new Array<string>(wrong).fill('x')])
        .warnings;
    expect(some(4)[0]).toMatch(/^4 of 304 rows are not used/);
    expect(some(2)).toEqual(['2 rows have no readable time (for example "x") and are left out.']);
  });

  it('tell which texts stood where a number is meant', () => {
    const { warnings, series } = readLogColumns({
      time_s: [0, 1, 2, 3],
      valve_opening_pct: ['Bad', '4', '---', 'Bad'],
    });
    expect(warnings).toEqual(['3 cells of column "valve_opening_pct" hold no number ("Bad" 2, "---" 1).']);
    expect([...series.valveOpening_pct]).toEqual([NaN, 4, NaN, NaN]);
  });
});

describe('a mapping of headers', () => {
  const table = { 'T (s)': [0], P1: ['2,5'], Alarm: ['none'] };
  it('says what any header means, and which is not to be used', () => {
    const columns = { 'T (s)': 'time_s', P1: 'suction_pressure_barg', Alarm: null };
    const { series, warnings, gauge } = readLogColumns(table, 100_000, { columns, decimalMark: ',' });
    expect(warnings).toEqual([]);
    expect(gauge).toEqual(['suctionPressure_Pa']);
    expect(series.suctionPressure_Pa[0]).toBeCloseTo(350_000, 6);
  });
  it('is refused where it names a header that is not there, or two headers the same', () => {
    expect(() => readLogColumns(table, 101_325, { columns: { P2: 'suction_pressure_barg' } })).toThrow(
      /named by the mapping, but not among: T \(s\), P1, Alarm/,
    );
    const twice = { 'T (s)': 'time_s', P1: 'flow_l_s', Alarm: 'flow_l_s' };
    expect(() => readLogColumns(table, 101_325, { columns: twice })).toThrow(/says the same/);
  });
});
