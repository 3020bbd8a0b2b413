import { describe, expect, it } from 'vitest';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { days, window } from '../sample-window.js';
import { calmOf, isDisturbed, restlessnessOf, roomOf } from '../floor/restlessness.js';
import { headroomOf } from '../floor/headroom.js';
import type { SteadyFloor } from '../circuit-assessment.js';
import { operatingStatesOf } from './operating-states.js';
import { steadinessOf } from './steadiness.js';
import { hunts, summarise, summariseDays, summariseWeeks } from './summaries.js';

type Row = Partial<Record<Exclude<keyof CircuitSeries, 'time_s'>, number>>;
function seriesOf(n: number, row: (i: number) => Row, step_s = 10): CircuitSeries {
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    series.time_s[i] = step_s * i;
    const values = { suctionPressure_Pa: 3e5, suctionTemperature_K: 280, compressorLoad_pct: 70, ...row(i) };
    for (const [name, value] of Object.entries(values)) series[name as keyof CircuitSeries][i] = value;
  }
  return series;
}
const statesOf = (...of: Parameters<typeof seriesOf>) => operatingStatesOf(seriesOf(...of)).state;

describe('what a circuit does', () => {
  it('is running over 1 % load, or without a load with the valve open and the pressures apart', () => {
    const one = (row: Row) => statesOf(1, () => row)[0];
    expect(one({ compressorLoad_pct: 1.1 })).toBe('steady');
    expect(one({ compressorLoad_pct: 0 })).toBe('standing');
    const blind = { compressorLoad_pct: NaN };
    expect(one({ ...blind, valveOpening_pct: 1.1 })).toBe('steady');
    expect(one({ ...blind, valveOpening_pct: 1 })).toBe('standing');
    expect(one({ ...blind, valveOpening_pct: 50, dischargePressure_Pa: 3.5e5 })).toBe('steady');
    expect(one({ ...blind, valveOpening_pct: 50, dischargePressure_Pa: 3.4e5 })).toBe('standing');
    expect(one(blind)).toBe('steady');
  });

  it('is starting for ten minutes after standing and stopping for two before it', () => {
    // Stands for the first and the last 200 s.
    const states = statesOf(200, (i) => ({ compressorLoad_pct: i < 20 || i >= 180 ? 0 : 70 }));
    expect([states[19], states[20], states[79], states[80]]).toEqual([
      'standing',
      'starting',
      'starting',
      'steady',
    ]);
    expect([states[167], states[168], states[179], states[180]]).toEqual([
      'steady',
      'stopping',
      'stopping',
      'standing',
    ]);
    // What runs from the beginning of the series may have run for long.
    expect(statesOf(10, () => ({}))[0]).toBe('steady');
  });

  it('is starting or stopping throughout a run of under twenty minutes', () => {
    const run = (samples: number) =>
      statesOf(400, (i) => ({ compressorLoad_pct: i >= 100 && i < 100 + samples ? 70 : 0 })).includes(
        'steady',
      );
    expect([run(120), run(121)]).toEqual([false, true]);
    // Of a run that the series cuts, too.
    const cut = (samples: number) =>
      statesOf(400, (i) => ({ compressorLoad_pct: i < samples ? 70 : 0 })).includes('steady');
    expect([cut(120), cut(121)]).toEqual([false, true]);
  });

  it('is changing for five minutes to either side of a load that steps by 12 points, or a setpoint by 0.5 K', () => {
    const stepped = (column: keyof CircuitSeries, from: number, by: number) =>
      statesOf(360, (i) => ({ [column]: i < 180 ? from : from + by })).filter((state) => state === 'changing')
        .length;
    expect(stepped('compressorLoad_pct', 60, 11.9)).toBe(0);
    expect(stepped('compressorLoad_pct', 60, 12.1)).toBe(61);
    expect(stepped('compressorLoad_pct', 60, -12.1)).toBe(61);
    expect(stepped('superheatSetpoint_K', 6, 0.49)).toBe(0);
    expect(stepped('superheatSetpoint_K', 6, 0.51)).toBe(61);
  });

  it('stays steady where the load goes to and fro four times or more', () => {
    const swinging = (times: number) =>
      statesOf(720, (i) => ({
        compressorLoad_pct: i < times * 70 && Math.floor(i / 70) % 2 ? 80 : 60,
      })).includes('changing');
    expect(swinging(10)).toBe(false);
    expect(swinging(2)).toBe(true);
  });

  it('is not judged by means of five minutes on a unit that starts and stops every few of them', () => {
    // Ten minutes of running, six of standing: the load's mean over each five minutes is hardly ever 0.
    const load = (from_s: number) => {
      let ran = 0;
      for (let t = from_s; t < from_s + 300; t += 10) if (t % 960 < 600) ran++;
      return (70 * ran) / 30;
    };
    const means = statesOf(288, (i) => ({ compressorLoad_pct: load(300 * i) }), 300);
    expect(means.filter((state) => state === 'steady').length).toBeLessThan(6);
    // A load that is held while its line is lost does not hide it: the pressures go on.
    const held = statesOf(
      288,
      (i) => ({ compressorLoad_pct: 40, dischargePressure_Pa: 3.6e5 + 7e3 * load(300 * i) }),
      300,
    );
    expect(held.filter((state) => state === 'steady').length).toBeLessThan(6);
    // The same rows of a unit that runs on are judged, and those of one whose load swings within seconds.
    expect(statesOf(288, () => ({}), 300).every((state) => state === 'steady')).toBe(true);
    expect(statesOf(288, (i) => ({ compressorLoad_pct: 70 + 5 * (i % 2) }), 300)).toContain('steady');
  });

  it('is told at wider limits around a start and a stop where rows are minutes apart', () => {
    // Stands for the first and the last of twelve hours.
    const states = statesOf(144, (i) => ({ compressorLoad_pct: i < 12 || i >= 132 ? 0 : 70 }), 300);
    // 600 s and an interval from the start, two intervals before the stop.
    expect([states[14], states[15]]).toEqual(['starting', 'steady']);
    expect([states[129], states[130], states[131]]).toEqual(['steady', 'stopping', 'stopping']);
  });

  it('is silent where the suction side is not read, and between samples more than a minute apart', () => {
    expect(statesOf(3, (i) => (i === 1 ? { suctionPressure_Pa: NaN } : {}))).toEqual([
      'steady',
      'silent',
      'steady',
    ]);
    expect(statesOf(3, (i) => (i === 1 ? { suctionTemperature_K: NaN } : {}))[1]).toBe('silent');
    const gap = seriesOf(4, () => ({}));
    gap.time_s.set([0, 10, 20, 20 + 61]);
    const { minutes, weight_s, interval_s } = operatingStatesOf(gap);
    expect(interval_s).toBe(10);
    expect([...weight_s]).toEqual([10, 10, 10, 10]);
    expect(minutes.silent).toBeCloseTo(51 / 60, 9);
    expect(minutes.steady).toBeCloseTo(40 / 60, 9);
    gap.time_s.set([0, 10, 20, 20 + 60]);
    expect([...operatingStatesOf(gap).weight_s]).toEqual([10, 10, 60, 10]);
  });

  it('fills its window: before the first and after the last sample it is silent', () => {
    const { minutes } = operatingStatesOf(
      seriesOf(60, () => ({})),
      { window: { from_s: -600, to_s: 1800 } },
    );
    expect(minutes.silent).toBeCloseTo(10 + 20, 6);
    expect(minutes.steady).toBeCloseTo(10, 6);
    const empty = operatingStatesOf(emptyCircuitSeries(0), { window: { from_s: 0, to_s: 7200 } });
    expect(empty.minutes.silent).toBe(120);
    expect(empty.interval_s).toBeNull();
  });

  it('is without power inside the spans given', () => {
    const lost = operatingStatesOf(
      seriesOf(10, () => ({})),
      { powerLost: [{ from_s: 20, to_s: 50 }] },
    );
    expect(lost.state.map((state) => state === 'power-lost')).toEqual(
      [0, 0, 1, 1, 1, 0, 0, 0, 0, 0].map(Boolean),
    );
  });
});

describe('how superheat was held', () => {
  it('is weighed by the time that each value stands for', () => {
    // 30 s at 1 K and 10 s at 5 K: mean 2 K, variance 3.
    const held = steadinessOf(Float64Array.of(1, 5, NaN), Float64Array.of(30, 10, 100), 6, 0.25, 2)!;
    expect(held.mean_K).toBeCloseTo(2, 12);
    expect(held.spread_K).toBeCloseTo(Math.sqrt(3), 12);
    expect(held).toMatchObject({
      samples: 2,
      minimum_K: 1,
      median_K: 3,
      underLimitFraction: 0.75,
      offset_K: -4,
    });
    expect(held.minutes).toBeCloseTo(40 / 60, 12);
  });

  it('is surely under the limit with two uncertainties added, possibly with two taken off', () => {
    const at = (value: number) => steadinessOf(Float64Array.of(value), Float64Array.of(10), null, 0.25, 2)!;
    expect(at(1.6)).toMatchObject({
      underLimitFraction: 1,
      surelyUnderLimitFraction: 0,
      possiblyUnderLimitFraction: 1,
    });
    expect(at(1.4)).toMatchObject({
      underLimitFraction: 1,
      surelyUnderLimitFraction: 1,
      possiblyUnderLimitFraction: 1,
    });
    expect(at(2.4)).toMatchObject({ underLimitFraction: 0, possiblyUnderLimitFraction: 1 });
    expect(at(2.6)).toMatchObject({ underLimitFraction: 0, possiblyUnderLimitFraction: 0 });
    expect(at(2)).toMatchObject({ underLimitFraction: 0 });
  });

  it('is starved 6 K over the setpoint, or over 15 K without one', () => {
    const share = (value: number, setpoint_K: number | null) =>
      steadinessOf(Float64Array.of(value), Float64Array.of(10), setpoint_K, 0.25, 2)!.starvedFraction;
    expect([share(12, 6), share(12.1, 6), share(15, null), share(15.1, null)]).toEqual([0, 1, 0, 1]);
    expect(steadinessOf(Float64Array.of(7), Float64Array.of(10), null, 0.25, 2)!.offset_K).toBeNull();
  });

  it('is not known without a value or without time', () => {
    expect(steadinessOf(Float64Array.of(NaN), Float64Array.of(10), 6, 0.25, 2)).toBeNull();
    expect(steadinessOf(Float64Array.of(5), Float64Array.of(0), 6, 0.25, 2)).toBeNull();
  });
});

describe('windows summed up', () => {
  it('are weighed by their steady minutes, within and between them', () => {
    // 90 min at 4 K and 30 min at 8 K, each scattering by 1 K: mean 5 K, variance 1 + 3.
    const span = summarise([
      window(0, {
        superheat: {
          minutes: 90,
          mean_K: 4,
          spread_K: 1,
          percentile1_K: 2,
          underLimitFraction: 0.1,
          starvedFraction: 0,
          offset_K: -2,
        },
      }),
      window(1, {
        superheat: {
          minutes: 30,
          mean_K: 8,
          spread_K: 1,
          percentile1_K: 5,
          underLimitFraction: 0.5,
          starvedFraction: 0.4,
          offset_K: null,
        },
      }),
    ])!;
    expect(span).toMatchObject({ windows: 2, steadyMinutes: 120, lowest_K: 2, offset_K: -2 });
    expect(span.mean_K).toBeCloseTo(5, 12);
    expect(span.spread_K).toBeCloseTo(2, 12);
    expect(span.underLimitFraction).toBeCloseTo(0.2, 12);
    expect(span.starvedFraction).toBeCloseTo(0.1, 12);
    expect(span).toMatchObject({ travel_strokes: 0.2, reversals: 24, observedMinutes: 240 });
    expect(span.minutes.steady).toBe(240);
    expect([span.from_s, span.to_s]).toEqual([window(0).from_s, window(1).to_s]);
    expect(summarise([])).toBeNull();
  });

  it('hunt from an amplitude of 0.5 K on', () => {
    const swinging = (amplitude: number, oscillating = true) => {
      const one = window(0);
      return { ...one, oscillation: { ...one.oscillation, oscillating, amplitude, huntingMinutes: 90 } };
    };
    expect([0.49, 0.5].map((amplitude) => hunts(swinging(amplitude)))).toEqual([false, true]);
    expect(hunts(swinging(2, false))).toBe(false);
    expect(summarise([swinging(1), window(1)])!.huntingFraction).toBeCloseTo(90 / 240, 12);
    expect(summarise([swinging(0.4), window(1)])!.huntingFraction).toBe(0);
  });

  it('belong to the day and to the week from Monday in which they begin, in UTC', () => {
    // 2023-11-15 was a Wednesday.
    const list = days(8);
    const byDay = summariseDays(list);
    for (const { from_s, to_s } of byDay) {
      expect(from_s % 86_400).toBe(0);
      expect(to_s - from_s).toBe(86_400);
    }
    expect(byDay.reduce((sum, { windows }) => sum + windows, 0)).toBe(96);
    const byWeek = summariseWeeks(list);
    for (const { from_s, to_s } of byWeek) {
      expect(new Date(from_s * 1000).getUTCDay()).toBe(1);
      expect(to_s - from_s).toBe(7 * 86_400);
    }
  });
});

describe('how restless superheat was held', () => {
  const one = window(0, { superheat: { mean_K: 6, median_K: 6, percentile5_K: 6 - 1.645 * 0.4 } });

  it('is its spread downwards over the room that is left to it', () => {
    // Entering water 285 K less evaporating 276 K less 6 K.
    expect(roomOf(one)).toBeCloseTo(3, 12);
    expect(restlessnessOf(one, 3)).toBeCloseTo(0.4 / 3, 9);
    expect(restlessnessOf(one, null)).toBeCloseTo(0.4, 9);
    expect(roomOf(window(0, { superheat: { mean_K: 8.5 } }))).toBe(1);
    expect(roomOf(window(0, { conditions: { enteringWaterTemperature_K: null } }))).toBeNull();
    expect(roomOf(window(0, { conditions: { evaporatingTemperature_K: null } }))).toBeNull();
  });

  it('is calm as in the third of the windows with the highest superheat', () => {
    const held = [3, 4, 5, 6, 7, 8, 9].map((superheat_K, i) => ({
      at: 10 * i,
      superheat_K,
      restlessness: 1 / superheat_K,
    }));
    expect(calmOf(held)).toEqual({ at: 50, superheat_K: 8, restlessness: 1 / 8 });
  });

  it('is disturbed where the spread is over twice the robust spread, small ones aside', () => {
    const spread = (spread_K: number, robustSpread_K: number) =>
      isDisturbed(window(0, { superheat: { spread_K, robustSpread_K } }));
    expect(spread(0.79, 0.4)).toBe(false);
    expect(spread(0.81, 0.4)).toBe(true);
    expect(spread(0.19, 0.01)).toBe(false);
    expect(spread(0.21, 0.01)).toBe(true);
  });
});

describe('headroom over the steady floor', () => {
  const floorWith = (held_K: number[], floor_K: number | null = 4): SteadyFloor =>
    ({
      against: 'compressor-load',
      parts: [{ from: 60, to: 80, floor_K, uncertainty_K: 0.3 }],
      points: held_K.map((superheat_K, i) => ({ at: i % 2 ? 70 : 65, superheat_K, steady: true })),
    }) as unknown as SteadyFloor;

  it('is superheat held less floor and margin: 7 - 4 - 1', () => {
    const found = headroomOf(floorWith([6, 8]), 1)!;
    expect(found).toMatchObject({ held_K: 7, floor_K: 4, coveredFraction: 1, safetyMargin_K: 1 });
    expect(found.headroom_K).toBeCloseTo(2, 12);
    expect(found.uncertainty_K).toBeCloseTo(0.3, 12);
    // COMPUTED with CoolProp 8.0.0: 3.45 % of COP for each kelvin of evaporating temperature; half a kelvin for each of superheat.
    expect(found.energyFraction).toBeCloseTo(1 - 1 / 1.0345, 9);
    expect(headroomOf(floorWith([4, 4]), 1)!.energyFraction).toBe(0);
  });

  it('is not known without a floor for half of the time', () => {
    expect(headroomOf(null, 1)).toBeNull();
    expect(headroomOf(floorWith([6, 8], null), 1)).toBeNull();
    const half = floorWith([6, 8, 6, 8]);
    half.points.forEach((point, i) => i < 2 && (point.at = 90));
    expect(headroomOf(half, 1)!.coveredFraction).toBe(0.5);
    half.points[2]!.steady = false;
    expect(headroomOf(half, 1)).toBeNull();
  });

  it('counts the part up to full load with full load in it', () => {
    const full = floorWith([6]);
    full.parts[0]!.to = 100;
    full.points[0]!.at = 100;
    expect(headroomOf(full, 1)).not.toBeNull();
    full.parts[0]!.to = 99;
    expect(headroomOf(full, 1)).toBeNull();
  });
});
