import { describe, expect, it } from 'vitest';
import type { SeriesHabits } from '../../habits/signal/signal-habit.js';
import { saturationCurve, saturationPressure, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { circuit } from '../sample-circuit.js';
import { window } from '../sample-window.js';
import { judgeWindow } from './judge-window.js';
import { operatingStatesOf } from './operating-states.js';
import { limitedByResolution, shownSuperheat } from './shown-superheat.js';
import { steadinessOf } from './steadiness.js';
import { hunts, summarise, summariseDays, summariseWeeks } from './summaries.js';

const refrigerant = 'R134a';
type Row = Partial<Record<keyof CircuitSeries, number>>;
const evaporating_K = 276.15;
const suction_Pa = saturationPressure(refrigerant, evaporating_K, 'dew');

function seriesOf(n: number, row: (i: number) => Row = () => ({})): CircuitSeries {
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    const values: Row = {
      time_s: 10 * i,
      suctionPressure_Pa: suction_Pa,
      suctionTemperature_K: evaporating_K + 6,
      compressorLoad_pct: 70,
      ...row(i),
    };
    for (const [name, value] of Object.entries(values)) series[name as keyof CircuitSeries][i] = value;
  }
  return series;
}
const count = (series: CircuitSeries, state: string) =>
  operatingStatesOf(series).state.filter((one) => one === state).length;

describe('a change, at its limits', () => {
  const loads = (of: (i: number) => number) =>
    count(
      seriesOf(360, (i) => ({ compressorLoad_pct: of(i) })),
      'changing',
    );

  it('is a step of 12 points of load or half a kelvin of setpoint', () => {
    expect(loads((i) => (i < 180 ? 60 : 72))).toBe(61);
    expect(loads((i) => (i < 180 ? 60 : 71.9))).toBe(0);
    const setpoint = (to: number) =>
      count(
        seriesOf(360, (i) => ({ superheatSetpoint_K: i < 180 ? 6 : to })),
        'changing',
      );
    expect(setpoint(6.5)).toBe(61);
    expect(setpoint(6.499)).toBe(0);
  });

  it('is none where it passes within seconds, or only in three samples', () => {
    // One sample at 100 %: means of five minutes move by one point.
    expect(loads((i) => (i === 180 ? 100 : 60))).toBe(0);
    // Three values before and after make a mean: of 45, 45 and 60 it is 10 points under 60, of 45 three times 15.
    expect(loads((i) => (i < 2 ? 45 : 60))).toBe(0);
    expect(loads((i) => (i < 3 ? 45 : 60))).toBeGreaterThan(0);
    expect(loads((i) => (i >= 358 ? 45 : 60))).toBe(0);
    expect(loads((i) => (i >= 357 ? 45 : 60))).toBeGreaterThan(0);
  });

  it('counts once where it takes a while: at its steepest', () => {
    // Over 200 s from 40 to 80: no more than five minutes to either side of its middle, at 1900 s.
    const ramp = operatingStatesOf(
      seriesOf(360, (i) => ({ compressorLoad_pct: Math.min(80, Math.max(40, 40 + 2 * (i - 180))) })),
    ).state;
    const changing = ramp.flatMap((state, i) => (state === 'changing' ? [i] : []));
    expect(changing).toHaveLength(61);
    expect(Math.abs(changing[30]! - 190)).toBeLessThanOrEqual(1);
  });

  it('is a swing from four turns on', () => {
    // By turns ten minutes at 60 and at 80 %.
    const turns = (times: number) =>
      count(
        seriesOf(60 * (times + 1), (i) => ({ compressorLoad_pct: Math.floor(i / 60) % 2 ? 80 : 60 })),
        'changing',
      );
    // Steps up and down: one turn less than steps.
    expect(turns(4)).toBeGreaterThan(0);
    expect(turns(5)).toBe(0);
  });

  it('of the load while it stands or starts is none', () => {
    const states = operatingStatesOf(seriesOf(200, (i) => ({ compressorLoad_pct: i < 100 ? 0 : 70 }))).state;
    expect(states).not.toContain('changing');
    expect([states[99], states[100], states[159], states[160]]).toEqual([
      'standing',
      'starting',
      'starting',
      'steady',
    ]);
  });
});

describe('time in a window', () => {
  it('of the last sample goes to the end of the window, or is one interval', () => {
    const series = seriesOf(4);
    expect([...operatingStatesOf(series).weight_s]).toEqual([10, 10, 10, 10]);
    expect([...operatingStatesOf(series, { window: { from_s: 0, to_s: 35 } }).weight_s]).toEqual([
      10, 10, 10, 5,
    ]);
    // An end before the last sample takes no time off.
    expect([...operatingStatesOf(series, { window: { from_s: 0, to_s: 20 } }).weight_s]).toEqual([
      10, 10, 10, 0,
    ]);
    const one = operatingStatesOf(seriesOf(1));
    expect([one.interval_s, one.weight_s[0]]).toEqual([null, 0]);
  });

  it('is silent over six intervals apart where these are longer than ten seconds', () => {
    const series = seriesOf(4);
    series.time_s.set([0, 20, 40, 160]);
    expect([...operatingStatesOf(series).weight_s]).toEqual([20, 20, 120, 20]);
    series.time_s.set([0, 20, 40, 161]);
    const { weight_s, minutes } = operatingStatesOf(series);
    expect([...weight_s]).toEqual([20, 20, 20, 20]);
    expect(minutes.silent).toBeCloseTo(101 / 60, 12);
  });

  it('without power stays so where nothing is read', () => {
    const series = seriesOf(5, (i) => (i === 2 || i === 4 ? { suctionPressure_Pa: NaN } : {}));
    const { state } = operatingStatesOf(series, { powerLost: [{ from_s: 10, to_s: 30 }] });
    expect(state).toEqual(['steady', 'power-lost', 'power-lost', 'steady', 'silent']);
  });

  it('does not go under zero where the window begins after its first sample', () => {
    const { minutes } = operatingStatesOf(seriesOf(4), { window: { from_s: 20, to_s: 40 } });
    expect(minutes.silent).toBe(0);
    expect(minutes.steady).toBeCloseTo(40 / 60, 12);
  });
});

describe('superheat held, at its limits', () => {
  const ones = (n: number) => new Float64Array(n).fill(1);

  it('at a limit is neither under nor over it', () => {
    const held = steadinessOf(Float64Array.of(2, 12), ones(2), 6, 0, 2)!;
    expect([held.underLimitFraction, held.starvedFraction]).toEqual([0, 0]);
    // 1.5 + 2 * 0.25 meets the limit of 2 K, 2.5 - 2 * 0.25 too.
    const near = steadinessOf(Float64Array.of(1.5, 2.5), ones(2), 6, 0.25, 2)!;
    expect([near.surelyUnderLimitFraction, near.underLimitFraction, near.possiblyUnderLimitFraction]).toEqual(
      [0, 0.5, 0.5],
    );
  });

  it('has its percentiles on straight lines between values in order', () => {
    // 0, 1, ..., 100: the hundredth parts themselves; deviations from 50 have the median 25.
    const held = steadinessOf(
      Float64Array.from({ length: 101 }, (_, i) => (i * 37) % 101),
      ones(101),
      null,
      0,
      0,
    )!;
    expect([
      held.minimum_K,
      held.percentile1_K,
      held.percentile5_K,
      held.median_K,
      held.percentile95_K,
    ]).toEqual([0, 1, 5, 50, 95]);
    expect(held.robustSpread_K).toBeCloseTo(1.4826 * 25, 2);
    expect(held.mean_K).toBeCloseTo(50, 12);
    // (101^2 - 1) / 12.
    expect(held.spread_K).toBeCloseTo(Math.sqrt(850), 9);
    expect(held.minutes).toBeCloseTo(101 / 60, 12);
    expect([held.setpoint_K, held.offset_K, held.starvedLimit_K]).toEqual([null, null, 15]);
  });

  it('counts no time of values that are missing', () => {
    expect(steadinessOf(Float64Array.of(NaN, 4), Float64Array.of(60, 0), 6, 0, 2)).toBeNull();
  });
});

describe('an oscillation that the sending may make', () => {
  const verdict = (amplitude: number) => ({
    oscillating: true,
    period_s: 200,
    amplitude,
    indices: { miaoSeborgDecay: 0.9 },
    cycles: 36,
    crest_s: 5,
  });

  it('is one of 2/pi of a step and less', () => {
    const limit = (2 / Math.PI) * 0.5;
    expect(limitedByResolution(verdict(limit), 0.5)).toEqual({
      oscillating: null,
      period_s: null,
      amplitude: null,
      indices: { miaoSeborgDecay: 0.9 },
      cycles: null,
      crest_s: null,
    });
    expect(limitedByResolution(verdict(1.001 * limit), 0.5)).toEqual(verdict(1.001 * limit));
    const quiet = { ...verdict(0), oscillating: false };
    expect(limitedByResolution(quiet, 0.5)).toBe(quiet);
  });
});

describe('how finely superheat is shown', () => {
  const signal = (resolution: number, deadband: number) => ({ resolution, deadband, interval_s: 10 });
  const habits = {
    clocksApart: true,
    delays: {},
    signals: {
      suctionPressure_Pa: signal(600, 1000),
      suctionTemperature_K: signal(0.12, 0.3),
      valveOpening_pct: signal(0.5, 1.5),
    },
  } as unknown as SeriesHabits;
  const slope = saturationSlope_K_Pa(refrigerant, suction_Pa, 'dew');

  it('adds the steps of both signals, the pressure along the saturation curve', () => {
    const shown = shownSuperheat(seriesOf(3), refrigerant, habits, Float64Array.of(1, 1, 1));
    expect(shown.step_K).toBeCloseTo(0.42 + 1600 * slope, 9);
    expect(shown.openingStep_pct).toBe(2);
    expect(shown.clocksApart).toBe(true);
    // Rounding q / sqrt(12) and a deadband d / sqrt(3) by their squares.
    const variance = (q: number, d: number) => (q * q) / 12 + (d * d) / 3;
    expect(shown.noise_K).toBeCloseTo(Math.sqrt(variance(0.12, 0.3) + slope ** 2 * variance(600, 1000)), 9);
  });

  it('knows by how much the opening comes too early or too late for a controller', () => {
    const late = (delay_s: number) =>
      shownSuperheat(
        seriesOf(3),
        refrigerant,
        { ...habits, delays: { valveOpening_pct: { delay_s, uncertainty_s: 0, changes: 2 } } },
        Float64Array.of(1, 1, 1),
      ).openingApart_s;
    // Within 20 s and a sample of 10 s the controller may be the one that is late; no valve shuts before the stop.
    expect([late(0), late(30), late(31), late(-10), late(-40)]).toEqual([0, 0, 1, 0, 30]);
  });

  it('takes the slope at the mean pressure of the time that counts, and none without any', () => {
    const series = seriesOf(3, (i) => ({ suctionPressure_Pa: [suction_Pa, 2 * suction_Pa, NaN][i]! }));
    const at = (...weights: number[]) =>
      (shownSuperheat(series, refrigerant, habits, Float64Array.from(weights)).step_K - 0.42) / 1600;
    expect(at(1, 0, 5)).toBeCloseTo(slope, 9);
    expect(at(1, 3, 5)).toBeCloseTo(saturationSlope_K_Pa(refrigerant, 1.75 * suction_Pa, 'dew'), 9);
    expect(at(0, 0, 5)).toBeCloseTo(0, 12);
  });
});

describe('the conditions of a judged window', () => {
  const discharge_Pa = 1e6;
  const series = seriesOf(360, (i) => ({
    dischargePressure_Pa: discharge_Pa,
    dischargeTemperature_K: 330 + (i % 2),
    liquidTemperature_K: 308,
    valveOpening_pct: i < 90 ? 40 : 60,
    enteringWaterTemperature_K: 285,
    leavingWaterTemperature_K: i % 4 ? NaN : 280,
    ambientTemperature_K: 300,
  }));
  const { conditions } = judgeWindow({ series, refrigerant, circuit });

  it('are means over the steady time', () => {
    expect(conditions.compressorLoad_pct).toBeCloseTo(70, 9);
    expect(conditions.valveOpening_pct).toBeCloseTo(55, 9);
    expect(conditions.dischargeTemperature_K).toBeCloseTo(330.5, 9);
    expect(conditions.enteringWaterTemperature_K).toBeCloseTo(285, 9);
    expect(conditions.ambientTemperature_K).toBeCloseTo(300, 9);
    expect(conditions.evaporatingTemperature_K).toBeCloseTo(evaporating_K, 3);
  });

  it('have condensing at the dew point and subcooling from the bubble point', () => {
    expect(conditions.condensingTemperature_K).toBeCloseTo(
      saturationCurve(refrigerant, 'dew').temperature(discharge_Pa),
      6,
    );
    expect(conditions.subcooling_K).toBeCloseTo(
      saturationCurve(refrigerant, 'bubble').temperature(discharge_Pa) - 308,
      6,
    );
  });

  it('are not known where nothing was sent, or a pressure lies outside the tables', () => {
    const bare = judgeWindow({ series: seriesOf(100), refrigerant, circuit }).conditions;
    expect(bare).toMatchObject({
      valveOpening_pct: null,
      condensingTemperature_K: null,
      subcooling_K: null,
      dischargeTemperature_K: null,
      ambientTemperature_K: null,
    });
    const outside = seriesOf(100, () => ({ dischargePressure_Pa: 9e7, liquidTemperature_K: 308 }));
    const seen = judgeWindow({ series: outside, refrigerant, circuit }).conditions;
    expect([seen.condensingTemperature_K, seen.subcooling_K]).toEqual([null, null]);
  });

  it('give superheat the standard uncertainty of both sensors', () => {
    // Tolerances 8000 Pa and 0.3 K, each a band of equal likelihood: over the root of three.
    const { superheat } = judgeWindow({
      series: seriesOf(360, (i) => ({ suctionTemperature_K: evaporating_K + 6 + 1e-3 * Math.sin(i * i) })),
      refrigerant,
      circuit,
    });
    const slope = saturationSlope_K_Pa(refrigerant, suction_Pa, 'dew');
    expect(superheat!.uncertainty_K).toBeCloseTo(Math.hypot(8000 * slope, 0.3) / Math.sqrt(3), 2);
  });
});

describe('a long window judged for hunting', () => {
  /** Superheat that swings by one amplitude and, from a sample on, by another. */
  const swinging = (n: number, first_K: number, then_K = first_K, from = n) =>
    judgeWindow({
      series: seriesOf(n, (i) => ({
        suctionTemperature_K:
          evaporating_K +
          8 +
          (i < from ? first_K : then_K) * Math.sin((2 * Math.PI * i) / 20) +
          0.05 * Math.sin(i * i),
      })),
      refrigerant,
      circuit,
    }).oscillation;

  it('is cut every two hours, and the piece that swings furthest is told', () => {
    const seen = swinging(1440, 1, 2, 720);
    expect(seen.amplitude!).toBeCloseTo(2, 1);
    expect(seen.judgedMinutes).toBeCloseTo(240, 0);
    expect(seen.huntingMinutes).toBeCloseTo(240, 0);
    expect(swinging(1440, 2, 1, 720).amplitude!).toBeCloseTo(2, 1);
  });

  it('hunts in the pieces that do', () => {
    const seen = swinging(1440, 0, 2, 720);
    expect(seen.oscillating).toBe(true);
    expect(seen.judgedMinutes).toBeCloseTo(240, 0);
    expect(seen.huntingMinutes).toBeCloseTo(120, 0);
  });

  it('keeps a rest of under an hour with the piece before it', () => {
    // Three hours less ten seconds are one piece: its amplitude is neither of the two.
    const whole = swinging(1080, 3, 0, 720);
    expect(whole.huntingMinutes).toBeCloseTo(180, 0);
    const cut = swinging(1090, 3, 0, 720);
    expect(cut.huntingMinutes).toBeCloseTo(120, 0);
    expect(cut.amplitude!).toBeCloseTo(3, 1);
  });
});

describe('summaries, at their limits', () => {
  const swings = (amplitude: number | null, oscillating: boolean | null = true) => {
    const one = window(0);
    return { ...one, oscillation: { ...one.oscillation, oscillating, amplitude, huntingMinutes: 60 } };
  };

  it('hunt at half a kelvin', () => {
    expect([hunts(swings(0.5)), hunts(swings(0.499)), hunts(swings(null)), hunts(swings(2, null))]).toEqual([
      true,
      false,
      false,
      false,
    ]);
    expect(summarise([swings(0.5), window(1)])!.huntingFraction).toBe(0.25);
    expect(summarise([swings(0.499), window(1)])!.huntingFraction).toBe(0);
  });

  it('leave windows without superheat, setpoint or valve out of what these give', () => {
    const week = [
      window(0, { superheat: { minutes: 60, mean_K: 4, offset_K: null, percentile1_K: 3, spread_K: 0 } }),
      window(1, { superheat: { minutes: 20, mean_K: 8, offset_K: 2, percentile1_K: 7, spread_K: 0 } }),
      { ...window(2), superheat: null, valve: null },
    ];
    const seen = summarise(week)!;
    expect(seen.steadyMinutes).toBe(80);
    expect(seen.mean_K).toBe(5);
    // (60 * 1 + 20 * 9) / 80 = 3.
    expect(seen.spread_K).toBeCloseTo(Math.sqrt(3), 12);
    expect(seen.offset_K).toBe(2);
    expect(seen.lowest_K).toBe(3);
    expect(seen.observedMinutes).toBe(240);
    expect(seen.reversals).toBe(24);
    expect(seen.travel_strokes).toBeCloseTo(0.2, 12);
    expect([seen.from_s, seen.to_s, seen.windows]).toEqual([week[0]!.from_s, week[2]!.to_s, 3]);
    expect(seen.minutes.steady).toBe(360);
  });

  it('have no figure without steady time', () => {
    const seen = summarise([{ ...window(0), superheat: null }])!;
    expect(seen).toMatchObject({
      steadyMinutes: 0,
      mean_K: null,
      spread_K: null,
      lowest_K: null,
      underLimitFraction: null,
      starvedFraction: null,
      offset_K: null,
    });
    expect(summarise([])).toBeNull();
  });

  it('begin a day at midnight and a week on Monday, in order', () => {
    const at = (from_s: number) => ({ ...window(0), from_s, to_s: from_s + 7200 });
    // 1970-01-05 was a Monday.
    const monday_s = 4 * 86_400;
    const spans = (list: { from_s: number; to_s: number; windows: number }[]) =>
      list.map(({ from_s, to_s, windows }) => [from_s, to_s, windows]);
    const windows = [at(monday_s + 86_400), at(monday_s - 1), at(monday_s), at(monday_s + 86_399)];
    expect(spans(summariseDays(windows))).toEqual([
      [monday_s - 86_400, monday_s, 1],
      [monday_s, monday_s + 86_400, 2],
      [monday_s + 86_400, monday_s + 2 * 86_400, 1],
    ]);
    expect(spans(summariseWeeks(windows))).toEqual([
      [monday_s - 7 * 86_400, monday_s, 1],
      [monday_s, monday_s + 7 * 86_400, 3],
    ]);
  });
});
