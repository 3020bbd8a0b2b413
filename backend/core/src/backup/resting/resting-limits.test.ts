import { describe, expect, it } from 'vitest';
import { closingDemand } from '../closing/index.js';
import { circuit, day_s, module, readings, start_s } from '../sample-modules.js';
import { defaultBackupSettings } from '../settings.js';
import { openCircuitDecay, restingFigures, type OpenCircuitDecay } from './module-readings.js';
import { assessLeakage, assessWeakCell } from './resting-state.js';

describe('a weak cell of eight', () => {
  const step = (ratio: number, tests = 100) => ({
    index: 30,
    size: Math.log(ratio),
    uncertainty: 0.01,
    tests,
  });
  const weak = (changed: Partial<Parameters<typeof assessWeakCell>[0]>) =>
    assessWeakCell({
      cellsInSeries: 8,
      capacitanceStep: null,
      esrStep: 0,
      scatter: 0.005,
      decay: null,
      tests: 50,
      ...changed,
    });

  it('is shorted where capacitance rises to 8/7, or two where to 8/6, within 3 %', () => {
    expect(weak({ capacitanceStep: step(8 / 7) })).toMatchObject({ sign: 'shorted-cell', cellsAffected: 1 });
    expect(weak({ capacitanceStep: step(8 / 6) })).toMatchObject({ sign: 'shorted-cell', cellsAffected: 2 });
    expect(weak({ capacitanceStep: step((8 / 7) * Math.exp(0.029)) }).sign).toBe('shorted-cell');
    expect(weak({ capacitanceStep: step((8 / 7) * Math.exp(0.031)) }).sign).toBeNull();
    // Of four tests that scatter by 3 %, 4.5 %.
    expect(weak({ capacitanceStep: step((8 / 7) * Math.exp(0.044), 4), scatter: 0.03 }).sign).toBe(
      'shorted-cell',
    );
    expect(weak({ capacitanceStep: step((8 / 7) * Math.exp(0.046), 4), scatter: 0.03 }).sign).toBeNull();
  });

  it('is not shorted where ESR rises by 10 %; an ESR not known says nothing', () => {
    expect(weak({ capacitanceStep: step(8 / 7), esrStep: 0.09 }).sign).toBe('shorted-cell');
    expect(weak({ capacitanceStep: step(8 / 7), esrStep: 0.11 }).sign).toBeNull();
    expect(weak({ capacitanceStep: step(8 / 7), esrStep: null }).sign).toBe('shorted-cell');
    expect(weak({ cellsInSeries: 2, capacitanceStep: step(2) })).toMatchObject({
      sign: 'shorted-cell',
      cellsAffected: 1,
    });
  });

  it('has lost capacitance where the string falls as one of 8 in series does, ESR up by under 25 %', () => {
    // One of eight that keeps a share f: C/C0 = 8 / (7 + 1/f).
    const keeping = (f: number, esrStep: number | null = 0) =>
      weak({ capacitanceStep: step(8 / (7 + 1 / f)), esrStep }).sign;
    expect(keeping(0.5)).toBe('lost-cell-capacitance');
    expect(keeping(0.89)).toBe('lost-cell-capacitance');
    expect(keeping(0.91)).toBeNull();
    expect(keeping(0.021)).toBe('lost-cell-capacitance');
    expect(keeping(0.019)).toBeNull();
    expect(keeping(0.5, 0.24)).toBe('lost-cell-capacitance');
    expect(keeping(0.5, 0.26)).toBeNull();
    expect(keeping(0.5, null)).toBeNull();
  });

  it('leaks where a decay of 20 V stops after 2.5 V', () => {
    const decay = (fall_V: number, late: number): OpenCircuitDecay => ({
      rate_V_s: 1e-4,
      early_V_s: 1e-3,
      late_V_s: late,
      fall_V,
      from_V: 20,
      duration_s: 7200,
      drawn_A: 0,
    });
    expect(weak({ decay: decay(2.5, 1e-4) }).sign).toBe('decay-stops-after-one-cell');
    expect(weak({ decay: decay(2.5, 2.4e-4) }).sign).toBe('decay-stops-after-one-cell');
    expect(weak({ decay: decay(2.5, 2.6e-4) }).sign).toBeNull();
    expect(weak({ decay: decay(2.5, -1e-4) }).sign).toBe('decay-stops-after-one-cell');
    // 0.5 and 1.3 cells of 2.5 V.
    expect(weak({ decay: decay(1.2, 1e-4) }).sign).toBeNull();
    expect(weak({ decay: decay(1.3, 1e-4) }).sign).toBe('decay-stops-after-one-cell');
    expect(weak({ decay: decay(3.2, 1e-4) }).sign).toBe('decay-stops-after-one-cell');
    expect(weak({ decay: decay(3.3, 1e-4) }).sign).toBeNull();
  });
});

describe('leakage', () => {
  const figures = { ...restingFigures(readings(start_s, 7 * 1440), start_s + 7 * day_s) };
  const leakage = (
    changed: Partial<Parameters<typeof assessLeakage>[0]> & { float?: number | null; now_K?: number | null },
  ) =>
    assessLeakage({
      module,
      figures: {
        ...figures,
        floatCurrent_A: changed.float === undefined ? 0.001 : changed.float,
        temperatureNow_K: changed.now_K === undefined ? 298.15 : changed.now_K,
      },
      decay: null,
      capacitance_F: 1,
      esr_Ohm: 0,
      demand: closingDemand(module, [circuit], 100),
      settings: defaultBackupSettings,
      ...changed,
    });

  it('may double per 10 K, fourfold at most, and not less than at 298.15 K', () => {
    const limit = (now_K: number | null) => leakage({ now_K }).limit_A;
    expect(limit(298.15)).toBeCloseTo(0.0015, 12);
    expect(limit(303.15)).toBeCloseTo(0.0015 * Math.SQRT2, 12);
    expect(limit(288.15)).toBeCloseTo(0.0015, 12);
    expect(limit(328.15)).toBeCloseTo(0.006, 12);
    expect(limit(null)).toBeCloseTo(0.0015, 12);
    expect(leakage({ capacitance_F: 2 }).limit_A).toBeCloseTo(0.003, 12);
  });

  it('is too much over the limit, by the worse of the two', () => {
    expect(leakage({ float: 0.0015 }).state).toBe('normal');
    expect(leakage({ float: 0.0016 }).state).toBe('leaking');
    expect(leakage({ float: null }).state).toBe('unknown');
    expect(leakage({ float: null }).timeToUnable_s).toBeNull();
    expect(leakage({ float: -0.001 }).timeToUnable_s).toBeNull();
  });

  it('takes C dV over the current until one closing of 44 J is left above 9 V', () => {
    // 1 F without ESR: 44 = (V^2 - 81) / 2.
    const needed_V = Math.sqrt(81 + 88);
    expect(leakage({ float: 0.002 }).timeToUnable_s! / ((20 - needed_V) / 0.002)).toBeCloseTo(1, 6);
    // 0.2 F full hold 31.9 J above 9 V.
    expect(leakage({ float: 0.002, capacitance_F: 0.2 }).timeToUnable_s).toBeNull();
  });
});

describe('an open-circuit decay', () => {
  /** A loss of mains of so many minutes in which voltage falls by 0.1 mV/s, read each minute. */
  const decayOf = (
    minutes: number,
    change: (minute: number) => { voltage_V?: number; current_A?: number } = () => ({}),
  ) => {
    const at = readings(start_s, 60 + minutes, (minute) =>
      minute < 30 || minute >= 30 + minutes
        ? {}
        : { mains: 0, current_A: 0.0002, voltage_V: 20 - 0.006 * (minute - 30), ...change(minute) },
    );
    return openCircuitDecay(at, [{ from_s: start_s + 1800, to_s: start_s + 1800 + 60 * minutes }]);
  };

  it('begins ten minutes after the loss, which a closing may take, and lasts half an hour', () => {
    const decay = decayOf(120)!;
    expect(decay.from_V).toBeCloseTo(20 - 0.06, 9);
    expect(decay.duration_s).toBe(6540);
    expect(decay.rate_V_s).toBeCloseTo(1e-4, 9);
    expect(decay.early_V_s).toBeCloseTo(1e-4, 9);
    expect(decay.late_V_s).toBeCloseTo(1e-4, 9);
    expect(decay.fall_V).toBeCloseTo(0.654, 9);
    expect(decay.drawn_A).toBeCloseTo(0.0002, 12);
    // From minute 10 to the last one: 1800 s in a loss of 41 minutes.
    expect(decayOf(41)).not.toBeNull();
    expect(decayOf(40)).toBeNull();
  });

  it('counts as drawn from nothing where no current was sent', () => {
    expect(decayOf(120, () => ({ current_A: NaN }))!.drawn_A).toBe(0);
    expect(decayOf(120, (minute) => ({ current_A: minute % 2 ? NaN : 0.0004 }))!.drawn_A).toBeCloseTo(
      0.0004,
      12,
    );
  });

  it('is not tilted by one bad reading', () => {
    const bad = decayOf(120, (minute) => (minute === 50 ? { voltage_V: 5 } : {}))!;
    expect(Math.abs(bad.rate_V_s / 1e-4 - 1)).toBeLessThan(0.02);
  });

  it('is the longest', () => {
    const at = readings(start_s, 600, (minute) => ({ mains: 0, voltage_V: 20 - 0.006 * minute }));
    const loss = (from: number, to: number) => ({ from_s: start_s + 60 * from, to_s: start_s + 60 * to });
    expect(openCircuitDecay(at, [loss(0, 60), loss(100, 300), loss(400, 500)])!.duration_s).toBe(60 * 189);
    expect(openCircuitDecay(at, [{ from_s: start_s, to_s: null }])!.duration_s).toBe(60 * 589);
    expect(openCircuitDecay(at, [])).toBeNull();
  });
});

describe('a module at rest', () => {
  it('has its voltage by the last day, or by all readings where that has under half an hour', () => {
    const lately = (minutes: number) =>
      restingFigures(
        readings(start_s, 3000, (minute) => ({ voltage_V: minute < 1500 ? 19 : 20 })),
        start_s + 1500 * 60 + 86_400 + 60 * (1500 - minutes),
      ).chargedVoltage_V;
    expect(lately(30)).toBe(20);
    expect(lately(29)).toBe(19.5);
    const few = (n: number) => restingFigures(readings(start_s, n), start_s + 60 * n).chargedVoltage_V;
    expect(few(10)).toBe(20);
    expect(few(9)).toBeNull();
  });

  it('draws what it does over the last week, an hour of it at least, positive inwards', () => {
    const float = (n: number) => restingFigures(readings(start_s, n), start_s + 60 * n).floatCurrent_A;
    expect(float(60)).toBeCloseTo(0.0002, 12);
    expect(float(59)).toBeNull();
    // Of fifteen days the last six at 0.2 mA, 1 mA before: most of the last week, but not of two.
    const day = 1440;
    const risen = readings(start_s, 15 * day, (minute) => ({
      current_A: minute < 9 * day ? -0.001 : -0.0002,
    }));
    expect(restingFigures(risen, start_s + 15 * day * 60).floatCurrent_A).toBeCloseTo(0.0002, 12);
  });

  it('is as cold as one reading in two hundred', () => {
    const at = readings(start_s, 1000, (minute) => ({
      temperature_K: minute < 4 ? 200 : minute < 10 ? 280 : 300,
    }));
    expect(restingFigures(at, start_s + 60_000).lowestTemperature_K).toBe(280);
    expect(restingFigures(at, start_s + 60_000).temperatureNow_K).toBe(300);
  });
});
