import { describe, expect, it } from 'vitest';
import {
  isentropicDischarge,
  saturationPressure,
  vapourEnthalpy,
  vapourTemperatureFromEnthalpy,
} from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import {
  floodedBehindLooseSensor,
  looseSuctionSensor,
  refrigerantFits,
  runningMedians,
  swappedFraction,
  type RunningMedians,
} from './running-evidence.js';
import type { SettledStandstill } from '../standstill/standstill.js';
import { medianOf, runningFlags, settledRunning, stretchesOf } from './running-state.js';

type Row = Partial<Record<Exclude<keyof CircuitSeries, 'time_s'>, number>>;
function seriesOf(n: number, row: (i: number) => Row, step_s = 10): CircuitSeries {
  const series = emptyCircuitSeries(n);
  for (let i = 0; i < n; i++) {
    series.time_s[i] = step_s * i;
    for (const [name, value] of Object.entries(row(i))) series[name as keyof CircuitSeries][i] = value;
  }
  return series;
}
const all = (n: number) => Array.from({ length: n }, (_, i) => i);

describe('whether a circuit runs', () => {
  const flag = (row: Row) => runningFlags(seriesOf(1, () => row))[0];

  it('is told by the load, from 1 % on', () => {
    expect(flag({ compressorLoad_pct: 1.1 })).toBe(1);
    expect(flag({ compressorLoad_pct: 1 })).toBe(0);
    // Between the two it may be percent sent as a fraction: the pressures tell.
    expect(flag({ compressorLoad_pct: 1, dischargePressure_Pa: 9e5, suctionPressure_Pa: 3e5 })).toBe(1);
    expect(flag({ compressorLoad_pct: 1, dischargePressure_Pa: 3e5, suctionPressure_Pa: 3e5 })).toBe(0);
    expect(flag({ compressorLoad_pct: 0, dischargePressure_Pa: 9e5, suctionPressure_Pa: 3e5 })).toBe(0);
  });

  it('is told by the pressures without a load, also where the transducers are swapped', () => {
    const ratio = (discharge: number) =>
      flag({ dischargePressure_Pa: discharge, suctionPressure_Pa: 1e5, valveOpening_pct: 50 });
    expect(ratio(1.16e5)).toBe(1);
    expect(ratio(1.14e5)).toBe(0);
    expect(ratio(1e5 / 1.16)).toBe(1);
    expect(ratio(1e5 / 1.14)).toBe(0);
  });

  it('is not told by the pressures where the discharge is at saturation and the water is not cooled', () => {
    // A chiller at rest: condenser and evaporator at their waters' temperatures, 25 and 12 C.
    const rests: Row = {
      dischargePressure_Pa: saturationPressure('R134a', 298.15, 'dew'),
      suctionPressure_Pa: saturationPressure('R134a', 285.15, 'dew'),
      dischargeTemperature_K: 297,
      enteringWaterTemperature_K: 285.2,
      leavingWaterTemperature_K: 285.1,
    };
    const inContext = (row: Row) =>
      runningFlags(
        seriesOf(1, () => row),
        { refrigerant: 'R134a' },
      )[0];
    expect(inContext(rests)).toBe(0);
    expect(inContext({ ...rests, dischargeTemperature_K: 302 })).toBe(1);
    // One that takes in liquid discharges at saturation, and cools its water.
    expect(inContext({ ...rests, enteringWaterTemperature_K: 288 })).toBe(1);
    expect(inContext({ ...rests, valveOpening_pct: 50 })).toBe(1);
    expect(inContext({ ...rests, dischargeTemperature_K: NaN })).toBe(1);
    // It draws no power, whatever the pressures are.
    expect(flag({ compressorPower_W: 0, dischargePressure_Pa: 9e5, suctionPressure_Pa: 3e5 })).toBe(0);
    expect(flag({ compressorPower_W: 9e3, dischargePressure_Pa: 9e5, suctionPressure_Pa: 3e5 })).toBe(1);
  });

  it('is told by the valve without either, and not without any', () => {
    expect(flag({ valveOpening_pct: 1.1 })).toBe(1);
    expect(flag({ valveOpening_pct: 1 })).toBe(0);
    expect(flag({})).toBe(255);
  });
});

describe('stretches of one state', () => {
  const flags = (text: string) => Uint8Array.from(text, (letter) => (letter === '?' ? 255 : Number(letter)));
  const stretches = (text: string, state: 0 | 1, shortest_s: number, step_s = 10) =>
    stretchesOf(
      seriesOf(text.length, () => ({}), step_s),
      flags(text),
      state,
      shortest_s,
    );

  it('are at least as long as asked for, unknown samples between them aside', () => {
    expect(stretches('0011100', 1, 20)).toEqual([{ from: 2, to: 5 }]);
    expect(stretches('0011100', 1, 21)).toEqual([]);
    expect(stretches('001?100', 1, 20)).toEqual([{ from: 2, to: 5 }]);
    expect(stretches('0011100', 0, 10)).toEqual([
      { from: 0, to: 2 },
      { from: 5, to: 7 },
    ]);
  });

  it('end at a silence of more than ten minutes', () => {
    expect(stretches('11', 1, 0, 600)).toEqual([{ from: 0, to: 2 }]);
    expect(stretches('11', 1, 0, 601)).toEqual([
      { from: 0, to: 1 },
      { from: 1, to: 2 },
    ]);
  });

  it('have settled after a quarter of an hour of running', () => {
    const series = seriesOf(200, () => ({}));
    const settled = settledRunning(series, new Uint8Array(200).fill(1));
    expect([settled[0], settled.length]).toEqual([90, 110]);
    expect(settledRunning(series, new Uint8Array(200))).toEqual([]);
  });

  it('have a median of the finite values, of as many as asked for', () => {
    expect(medianOf([3, NaN, 1, 2])).toBe(2);
    expect(medianOf([1, 2], 2)).toBe(1.5);
    expect(medianOf([1, NaN], 2)).toBeNaN();
    expect(medianOf([])).toBeNaN();
  });
});

describe('medians of running', () => {
  it('need half an hour', () => {
    const series = seriesOf(200, () => ({ suctionPressure_Pa: 3e5 }));
    expect(runningMedians(series, all(179))).toBeNull();
    const half = runningMedians(series, all(180))!;
    expect(half.hours).toBeCloseTo(0.5, 9);
    expect(half.suctionPressure_Pa).toBe(3e5);
    expect(half.liquidTemperature_K).toBeNaN();
    expect(runningMedians(series, [])).toBeNull();
  });
});

describe('swapped transducers', () => {
  it('are the fraction of the time in which suction reads a tenth over discharge', () => {
    const series = seriesOf(100, (i) => ({
      suctionPressure_Pa: i < 30 ? 1.11e5 : 1.09e5,
      dischargePressure_Pa: 1e5,
    }));
    expect(swappedFraction(series, all(100))).toBeCloseTo(0.3, 12);
    expect(swappedFraction(series, all(59))).toBeNull();
    expect(swappedFraction(series, all(60))).toBe(0.5);
    expect(
      swappedFraction(
        seriesOf(100, () => ({ suctionPressure_Pa: 1e5 })),
        all(100),
      ),
    ).toBeNull();
  });
});

describe('a loose suction sensor', () => {
  const dew_K = 275;
  const ambient_K = 305;
  const setpoint_K = 6;
  /** It reads so much of the way from the pipe, at dew temperature and setpoint, to the ambient. */
  const loose = (fraction: number, opening_pct = 50, samples = 200, ambient = ambient_K) => {
    const pipe_K = dew_K + setpoint_K;
    const series = seriesOf(samples, () => ({
      suctionPressure_Pa: saturationPressure('R134a', dew_K, 'dew'),
      suctionTemperature_K: pipe_K + fraction * (ambient - pipe_K),
      superheatSetpoint_K: setpoint_K,
      ambientTemperature_K: ambient,
      valveOpening_pct: opening_pct,
    }));
    return looseSuctionSensor('R134a', series, all(samples));
  };

  it('lies between pipe and ambient: from a quarter of the way on', () => {
    expect(loose(0.26)!.ambientFraction).toBeCloseTo(0.26, 3);
    expect(loose(0.24)).toBeNull();
    expect(loose(1)!.ambientFraction).toBeCloseTo(1, 3);
    expect(loose(1.3)).toBeNull();
    expect(loose(0.5)).toMatchObject({ impliedEfficiency: null, ambient_K, valveOpening_pct: 50 });
    expect(loose(0.5)!.expected_K).toBe(setpoint_K);
    expect(loose(0.5)!.superheat_K).toBeCloseTo(6 + 12, 2);
  });

  it('is not told from high superheat with the valve at an end', () => {
    expect(loose(0.5, 92)).not.toBeNull();
    expect(loose(0.5, 93)).toBeNull();
    expect(loose(0.5, 8)).not.toBeNull();
    expect(loose(0.5, 7)).toBeNull();
  });

  it('is told only where ambient is far enough, by half an hour of samples, and 2.5 K off', () => {
    expect(loose(0.5, 50, 180)).not.toBeNull();
    expect(loose(0.5, 50, 179)).toBeNull();
    expect(loose(0.9, 50, 200, dew_K + setpoint_K + 3.9)).toBeNull();
    expect(loose(0.9, 50, 200, dew_K + setpoint_K + 4.1)).not.toBeNull();
    expect(loose(0.5, 50, 200, dew_K + setpoint_K + 4.8)).toBeNull();
    // Colder than the pipe, it reads low.
    expect(loose(0.5, 50, 200, dew_K + setpoint_K - 10)!.ambientFraction).toBeCloseTo(0.5, 3);
  });
});

describe('a suction reading over its setpoint', () => {
  /** Half a day, every 10 s, in which the ambient goes from 295 to 305 K and back. */
  const reading = (suction_K: (pipe_K: number, ambient_K: number) => number, swing_K = 5) => {
    const dew_K = (i: number) => 275 + Math.sin(i / 300);
    const series = seriesOf(4320, (i) => {
      const ambient_K = 300 - swing_K * Math.cos((2 * Math.PI * i) / 4320);
      return {
        suctionPressure_Pa: saturationPressure('R134a', dew_K(i), 'dew'),
        suctionTemperature_K: suction_K(dew_K(i) + 6, ambient_K) + 0.05 * Math.sin(i * i),
        superheatSetpoint_K: 6,
        ambientTemperature_K: ambient_K,
        valveOpening_pct: 50,
      };
    });
    return looseSuctionSensor('R134a', series, all(4320));
  };

  it('is that of a loose sensor where it rises and falls with the ambient', () => {
    expect(reading((pipe, ambient) => pipe + 0.4 * (ambient - pipe))).toMatchObject({ follows: true });
  });

  it('is none of a loose sensor where it stays as high: behind a heat exchanger, or at the compressor', () => {
    expect(reading((pipe) => pipe + 8)).toBeNull();
  });

  it('cannot be told where the ambient hardly moves', () => {
    expect(reading((pipe) => pipe + 8, 1)).toMatchObject({ follows: null });
  });
});

describe('an evaporator flooded behind a loose sensor', () => {
  const dew_K = 275;
  /** Discharge as warm as from saturated vapour at an isentropic efficiency. */
  function running(changed: Partial<RunningMedians> = {}, efficiency = 0.7): RunningMedians {
    const suctionPressure_Pa = saturationPressure('R134a', dew_K, 'dew');
    const dischargePressure_Pa = saturationPressure('R134a', 313, 'dew');
    const { enthalpyRise_J_kg } = isentropicDischarge(
      'R134a',
      suctionPressure_Pa,
      dew_K + 0.1,
      dischargePressure_Pa,
    );
    const enthalpy =
      vapourEnthalpy('R134a', suctionPressure_Pa, dew_K + 0.1) + enthalpyRise_J_kg / efficiency;
    return {
      hours: 3,
      suctionPressure_Pa,
      dischargePressure_Pa,
      suctionTemperature_K: dew_K + 12,
      dischargeTemperature_K: vapourTemperatureFromEnthalpy('R134a', dischargePressure_Pa, enthalpy),
      liquidTemperature_K: 308,
      superheatSetpoint_K: 6,
      leavingWaterTemperature_K: dew_K + 2,
      ambientTemperature_K: 305,
      valveOpening_pct: 95,
      ...changed,
    };
  }
  const found = (...of: Parameters<typeof running>) => floodedBehindLooseSensor('R134a', running(...of));

  it('shows a discharge colder than the superheat shown would allow', () => {
    const seen = found()!;
    expect(seen.impliedEfficiency!).toBeGreaterThan(0.88);
    expect(seen.superheat_K).toBeCloseTo(12, 2);
    expect(seen.ambientFraction).toBeCloseTo(12 / 30, 3);
    expect(seen).toMatchObject({ expected_K: 6, ambient_K: 305, valveOpening_pct: 95 });
    // A compressor that is merely poor has a hotter discharge.
    expect(found({}, 0.45)).toBeNull();
    expect(found({ superheatSetpoint_K: NaN })!.expected_K).toBeCloseTo(12, 2);
  });

  it('has the valve wide open, water near dew temperature and a reading part of the way to ambient', () => {
    expect(found({ valveOpening_pct: 84.9 })).toBeNull();
    expect(found({ valveOpening_pct: 85 })).not.toBeNull();
    expect(found({ leavingWaterTemperature_K: dew_K + 3.1 })).toBeNull();
    expect(found({ leavingWaterTemperature_K: dew_K + 2.9 })).not.toBeNull();
    expect(found({ ambientTemperature_K: dew_K + 12.5 })).toBeNull();
    expect(found({ ambientTemperature_K: dew_K + 61 })).toBeNull();
    expect(found({ suctionTemperature_K: dew_K + 2.9, ambientTemperature_K: dew_K + 8 })).toBeNull();
    expect(found({ suctionTemperature_K: dew_K + 4, ambientTemperature_K: dew_K + 5.9 })).toBeNull();
  });

  it('is not told without a discharge temperature', () => {
    expect(found({ dischargeTemperature_K: NaN })).toBeNull();
  });
});

describe('how well each refrigerant explains standstill and running', () => {
  const at = (refrigerant: string, temperature_K: number, side: 'dew' | 'bubble' = 'dew') =>
    saturationPressure(refrigerant, temperature_K, side);
  const agreed_K = 293;
  /** Stood at 20 C, then evaporated at 275 K and condensed at 313 K. */
  const fits = (changed: Partial<RunningMedians> = {}, pressures: Partial<SettledStandstill> = {}) =>
    refrigerantFits(
      {
        suctionPressure_Pa: at('R134a', agreed_K),
        dischargePressure_Pa: at('R134a', agreed_K),
        ...pressures,
      } as SettledStandstill,
      agreed_K,
      {
        hours: 3,
        suctionPressure_Pa: at('R134a', 275),
        dischargePressure_Pa: at('R134a', 313),
        suctionTemperature_K: 281,
        dischargeTemperature_K: 335,
        liquidTemperature_K: 308,
        superheatSetpoint_K: 6,
        leavingWaterTemperature_K: 280,
        ambientTemperature_K: 300,
        valveOpening_pct: 50,
        ...changed,
      },
    );
  const own = (...of: Parameters<typeof fits>) =>
    fits(...of).find(({ refrigerant }) => refrigerant === 'R134a')!;

  it('is best for the one that is there, by distance at standstill and superheat off its setpoint', () => {
    const [best, next] = fits();
    expect(best).toMatchObject({ refrigerant: 'R134a', possible: true });
    expect(best!.superheat_K).toBeCloseTo(6, 2);
    expect(best!.subcooling_K).toBeCloseTo(5, 2);
    expect(best!.standing_K).toBeCloseTo(0, 2);
    expect(best!.score).toBeCloseTo(0, 1);
    expect(next!.score).toBeGreaterThan(best!.score);
    // 3 K off the setpoint, and 2 K off at standstill by the worse of the two pressures.
    expect(own({ superheatSetpoint_K: 9 }).score).toBeCloseTo(3, 1);
    expect(own({}, { dischargePressure_Pa: at('R134a', 295) }).standing_K).toBeCloseTo(2, 2);
    expect(own({}, { suctionPressure_Pa: at('R134a', 290) }).score).toBeCloseTo(3, 1);
  });

  it('counts superheat by 5 K at most, and by 2 K where no setpoint is known', () => {
    expect(own({ superheatSetpoint_K: 16 }).score).toBeCloseTo(5, 2);
    expect(own({ superheatSetpoint_K: NaN }).score).toBeCloseTo(2, 2);
  });

  it('is possible from -1 to 25 K of superheat and subcooling', () => {
    const possible = (changed: Partial<RunningMedians>) => own(changed).possible;
    expect([possible({ suctionTemperature_K: 274.1 }), possible({ suctionTemperature_K: 273.9 })]).toEqual([
      true,
      false,
    ]);
    expect([possible({ suctionTemperature_K: 299.9 }), possible({ suctionTemperature_K: 300.1 })]).toEqual([
      true,
      false,
    ]);
    expect([possible({ liquidTemperature_K: 313.9 }), possible({ liquidTemperature_K: 314.1 })]).toEqual([
      true,
      false,
    ]);
    expect([possible({ liquidTemperature_K: 288.1 }), possible({ liquidTemperature_K: 287.9 })]).toEqual([
      true,
      false,
    ]);
    expect(possible({ suctionTemperature_K: NaN })).toBe(false);
    expect(possible({ liquidTemperature_K: NaN })).toBe(true);
  });

  it('is possible where it evaporates under the leaving water, by up to 20 K', () => {
    const possible = (leavingWaterTemperature_K: number) => own({ leavingWaterTemperature_K }).possible;
    expect([possible(274.6), possible(274.4)]).toEqual([true, false]);
    expect([possible(294.9), possible(295.1)]).toEqual([true, false]);
    expect(possible(NaN)).toBe(true);
  });

  it('has no distance for a blend between its bubble and dew point', () => {
    const blend = (pressure_Pa: number) =>
      fits({}, { suctionPressure_Pa: pressure_Pa, dischargePressure_Pa: pressure_Pa }).find(
        ({ refrigerant }) => refrigerant === 'R407C',
      );
    const [dew, bubble] = [at('R407C', agreed_K), at('R407C', agreed_K, 'bubble')];
    expect(blend((dew + bubble) / 2)!.standing_K).toBe(0);
    expect(blend(at('R407C', agreed_K + 1, 'bubble'))!.standing_K).toBeCloseTo(1, 1);
    expect(blend(at('R407C', agreed_K - 1))!.standing_K).toBeCloseTo(1, 1);
  });
});
