import { describe, expect, it } from 'vitest';
import type { SensorVerdict } from '../../diagnosis/not-judged.js';
import { saturationPressure, saturationSlope_K_Pa } from '../../refrigerants/index.js';
import { circuit } from '../sample-circuit.js';
import { days, window, type Change } from '../sample-window.js';
import type { Steadiness } from '../windows/window-judgement.js';
import { assessCircuit } from '../assess-circuit.js';
import { correctedLevel } from './corrected-level.js';
import { corrected, correctedWindow, knownErrors } from './corrected-windows.js';
import { superheatDistribution } from './superheat-distribution.js';

const refrigerant = 'R134a';
const held = (change: Change['superheat'] = {}): Steadiness => window(0, { superheat: change }).superheat!;
const odds = (fraction: number) => Math.log(fraction / (1 - fraction));

describe('the distribution of superheat in a window', () => {
  // Kept: 1 % under 5.5, 5 % under 5.7, half under 6, 95 % under 6.3 K; nothing at the limits of 2 and 12 K.
  const distribution = superheatDistribution(held());

  it('passes through the percentiles that were kept', () => {
    for (const [value_K, fraction] of [
      [5.5, 0.01],
      [5.7, 0.05],
      [6, 0.5],
      [6.3, 0.95],
    ] as const)
      expect(distribution(value_K)).toBeCloseTo(fraction, 9);
  });

  it('is linear in log-odds between them', () => {
    const middle = (odds(0.05) + odds(0.5)) / 2;
    expect(odds(distribution(5.85))).toBeCloseTo(middle, 9);
    const quarter = odds(0.5) + 0.25 * (odds(0.95) - odds(0.5));
    expect(odds(distribution(6.075))).toBeCloseTo(quarter, 9);
  });

  it('goes on along the last line beyond them, down to the lowest value seen', () => {
    // From 6 to 6.3 K by odds(0.95), so to 6.6 K by twice that.
    expect(odds(distribution(6.6))).toBeCloseTo(2 * odds(0.95), 9);
    // From 5.7 to 5.5 K by odds(0.01) - odds(0.05), so to 5.45 K by a quarter of that more.
    expect(odds(distribution(5.45))).toBeCloseTo(odds(0.01) + 0.25 * (odds(0.01) - odds(0.05)), 9);
    expect(distribution(5.4)).toBe(0);
    expect(distribution(5.3)).toBe(0);
  });

  it('passes through the fractions under the floodback limit and its uncertainties, and over the starved limit', () => {
    const wet = superheatDistribution(
      held({
        minimum_K: 0,
        percentile1_K: 0.5,
        percentile5_K: 0.9,
        median_K: 5,
        percentile95_K: 9,
        uncertainty_K: 0.4,
        floodbackLimit_K: 2,
        surelyUnderLimitFraction: 0.08,
        underLimitFraction: 0.12,
        possiblyUnderLimitFraction: 0.2,
        starvedLimit_K: 12,
        starvedFraction: 0.01,
      }),
    );
    for (const [value_K, fraction] of [
      [1.2, 0.08],
      [2, 0.12],
      [2.8, 0.2],
      [5, 0.5],
      [12, 0.99],
    ] as const)
      expect(wet(value_K)).toBeCloseTo(fraction, 9);
  });

  it('leaves out what lies at one place or out of order, and fractions of none and all', () => {
    // Half a millikelvin beside the median, and less than it although further up.
    const doubled = superheatDistribution(held({ floodbackLimit_K: 6.0005, underLimitFraction: 0.6 }));
    expect(doubled(6)).toBeCloseTo(0.5, 9);
    expect(doubled(6.3)).toBeCloseTo(0.95, 9);
    const disordered = superheatDistribution(held({ floodbackLimit_K: 6.1, underLimitFraction: 0.4 }));
    expect(disordered(6.15)).toBeCloseTo(distribution(6.15), 9);
  });

  it('is a step at the median where nothing else is known', () => {
    const step = superheatDistribution(
      held({ minimum_K: 1, percentile1_K: NaN, percentile5_K: NaN, percentile95_K: NaN }),
    );
    expect([step(1), step(6), step(6.001)]).toEqual([0, 0, 1]);
  });
});

describe('a window corrected by hand', () => {
  it('with a constant error moves by it and keeps its width', () => {
    const right = corrected(held({ starvedLimit_K: 6, setpoint_K: 6 }), {
      bias_K: 2,
      uncertainty_K: 0.1,
      noise_K: 0,
    });
    expect(right.mean_K).toBeCloseTo(4, 12);
    expect(right.median_K).toBeCloseTo(4, 12);
    expect(right.minimum_K).toBeCloseTo(3.4, 12);
    expect(right.percentile1_K).toBeCloseTo(3.5, 12);
    expect(right.percentile5_K).toBeCloseTo(3.7, 12);
    expect(right.percentile95_K).toBeCloseTo(4.3, 12);
    expect(right.spread_K).toBe(0.2);
    expect(right.robustSpread_K).toBeCloseTo(0.2, 12);
    expect(right.offset_K).toBe(-2);
    expect(right.uncertainty_K).toBe(0.1);
    // What was read as 8 K is 6 K: hardly any of it.
    expect(right.starvedFraction).toBeLessThan(1e-6);
    expect(
      corrected(held({ offset_K: null }), { bias_K: 2, uncertainty_K: 0, noise_K: 0 }).offset_K,
    ).toBeNull();
  });

  it('with noise of 0.6 of its spread shrinks to 0.8 of it (3, 4, 5)', () => {
    const read = held({ spread_K: 1, robustSpread_K: 1, median_K: 5, minimum_K: 1, percentile95_K: 9 });
    const right = corrected(read, { bias_K: 0, uncertainty_K: 0.1, noise_K: 0.6 });
    expect(right.spread_K).toBeCloseTo(0.8, 12);
    expect(right.robustSpread_K).toBeCloseTo(0.8, 12);
    expect(right.mean_K).toBe(6);
    // 6 + 0.8 * (5 - 6), 6 + 0.8 * (1 - 6) and 6 + 0.8 * (9 - 6).
    expect(right.median_K).toBeCloseTo(5.2, 12);
    expect(right.minimum_K).toBeCloseTo(2, 12);
    expect(right.percentile95_K).toBeCloseTo(8.4, 12);
  });

  it('has the time under a limit that the values read had under the limit moved and widened', () => {
    const read = held({
      mean_K: 4,
      spread_K: 1,
      minimum_K: 0,
      percentile1_K: 1.5,
      percentile5_K: 2.2,
      median_K: 4,
      percentile95_K: 5.8,
      floodbackLimit_K: 2,
      uncertainty_K: 0.4,
    });
    const under = superheatDistribution(read);
    const right = corrected(read, { bias_K: 1, uncertainty_K: 0.25, noise_K: 0.6 });
    // Limit 2 K true is 3 K read; 1 K under the mean of 4 K, and 1 / 0.8 = 1.25 K under it before shrinking.
    expect(right.underLimitFraction).toBeCloseTo(under(4 - 1 / 0.8), 9);
    expect(right.surelyUnderLimitFraction).toBeCloseTo(under(4 - 1.5 / 0.8), 9);
    expect(right.possiblyUnderLimitFraction).toBeCloseTo(under(4 - 0.5 / 0.8), 9);
    expect(right.starvedFraction).toBeCloseTo(1 - under(4 + 9 / 0.8), 9);
  });

  it('that is nothing but noise stands at its mean', () => {
    const read = held({ spread_K: 0.5, robustSpread_K: 0.4, mean_K: 2.5, floodbackLimit_K: 2 });
    const right = corrected(read, { bias_K: 0, uncertainty_K: 0.25, noise_K: 0.5 });
    expect(right.spread_K).toBe(0);
    expect(right.robustSpread_K).toBe(0);
    expect(right.minimum_K).toBe(2.5);
    // Under 2 K never; possibly, as 2.5 K is not under 2 + 0.5 K.
    expect([right.underLimitFraction, right.possiblyUnderLimitFraction]).toEqual([0, 0]);
    const lower = corrected(read, { bias_K: 1, uncertainty_K: 0.2, noise_K: 0.5 });
    expect([lower.surelyUnderLimitFraction, lower.underLimitFraction]).toEqual([1, 1]);
  });

  it('without an error keeps what was counted', () => {
    const read = held({ minimum_K: 0, percentile1_K: 1, percentile5_K: 1.5, underLimitFraction: 0.1 });
    const right = corrected(read, { bias_K: 0, uncertainty_K: 0.4, noise_K: 0 });
    expect(right.underLimitFraction).toBeCloseTo(0.1, 9);
  });
});

const bias = (amount: number, uncertainty = 0.2, noise?: number) => ({
  bias: amount,
  uncertainty,
  ...(noise === undefined ? {} : { noise }),
});
const verdict = (
  sensor: string,
  error: SensorVerdict['error'],
  change: Partial<SensorVerdict> = {},
): SensorVerdict =>
  ({
    condition: 'sensor-bias',
    certainty: 'likely',
    subject: { kind: 'sensor', circuit: 1, sensor },
    error,
    ...change,
  }) as SensorVerdict;

describe('the errors known of a circuit', () => {
  it('are those measured on its own sensors, more than possibly', () => {
    const errors = knownErrors(
      [
        verdict('suction-temperature', bias(2)),
        verdict('suction-pressure', bias(5000), { certainty: 'possible' }),
        verdict('discharge-pressure', null),
        verdict('liquid-temperature', bias(1), {
          subject: { kind: 'sensor', circuit: 2, sensor: 'liquid-temperature' } as never,
        }),
        verdict('suction-pressure', bias(1), { subject: { kind: 'circuit', circuit: 1 } as never }),
      ],
      1,
    );
    expect(errors).toEqual({ 'suction-temperature': bias(2) });
  });

  it('of one sensor add up, uncertainties and noise by their squares', () => {
    // 3, 4, 5 and 6, 8, 10.
    const errors = knownErrors(
      [
        verdict('suction-temperature', bias(2, 0.3, 0.6)),
        verdict('suction-temperature', bias(-0.5, 0.4, 0.8)),
      ],
      1,
    );
    expect(errors['suction-temperature']!.bias).toBe(1.5);
    expect(errors['suction-temperature']!.uncertainty).toBeCloseTo(0.5, 12);
    expect(errors['suction-temperature']!.noise).toBeCloseTo(1, 12);
    const silent = knownErrors(
      [verdict('suction-temperature', bias(2, 0.3)), verdict('suction-temperature', bias(1, 0.4))],
      1,
    );
    expect(silent['suction-temperature']!.noise).toBe(0);
  });
});

describe('the conditions of a corrected window', () => {
  const one = window(0);
  const fix = (errors: Parameters<typeof correctedWindow>[3], change: Change = {}) =>
    correctedWindow(window(0, change), refrigerant, circuit, errors);

  it('have liquid and discharge temperature less their errors', () => {
    // Subcooling is saturation less liquid: a liquid sensor that reads 2 K high hides 2 K of it.
    expect(fix({ 'liquid-temperature': bias(2) }).conditions.subcooling_K).toBe(7);
    expect(
      fix({ 'liquid-temperature': bias(2) }, { conditions: { subcooling_K: null } }).conditions.subcooling_K,
    ).toBeNull();
    expect(fix({ 'discharge-temperature': bias(3) }).conditions.dischargeTemperature_K).toBe(332);
    expect(
      fix({ 'discharge-temperature': bias(3) }, { conditions: { dischargeTemperature_K: null } }).conditions
        .dischargeTemperature_K,
    ).toBeNull();
    expect(fix({ 'liquid-temperature': bias(2) }).superheat).toEqual(one.superheat);
  });

  it('have condensing temperature and subcooling moved along the saturation curve', () => {
    const right_Pa = saturationPressure(refrigerant, 311, 'dew');
    const high = saturationPressure(refrigerant, 312, 'dew') - right_Pa;
    const { conditions } = fix({ 'discharge-pressure': bias(high) });
    expect(conditions.condensingTemperature_K).toBeCloseTo(311, 2);
    expect(conditions.subcooling_K).toBeCloseTo(4, 2);
    expect(
      fix({ 'discharge-pressure': bias(high) }, { conditions: { condensingTemperature_K: null } }).conditions,
    ).toMatchObject({
      condensingTemperature_K: null,
      subcooling_K: 5,
    });
  });

  it('stay as they are where a pressure would leave the table', () => {
    const { conditions } = fix({ 'suction-pressure': bias(1e9) });
    expect(conditions.evaporatingTemperature_K).toBe(276);
  });

  it('move superheat by the temperature less what evaporating moves by', () => {
    const low = saturationPressure(refrigerant, 276, 'dew') - saturationPressure(refrigerant, 275, 'dew');
    // Pressure reads a kelvin too high: superheat as read is a kelvin too low.
    const pressure = fix({ 'suction-pressure': bias(low, 1000) });
    expect(pressure.superheat!.mean_K).toBeCloseTo(7, 2);
    const both = fix({ 'suction-pressure': bias(low, 1000), 'suction-temperature': bias(3, 0.1) });
    expect(both.superheat!.mean_K).toBeCloseTo(4, 2);
    const slope = saturationSlope_K_Pa(refrigerant, saturationPressure(refrigerant, 275, 'dew'), 'dew');
    expect(both.superheat!.uncertainty_K).toBeCloseTo(Math.hypot(1000 * slope, 0.1), 4);
    // One known and one by its tolerance over the root of three.
    expect(pressure.superheat!.uncertainty_K).toBeCloseTo(Math.hypot(1000 * slope, 0.3 / Math.sqrt(3)), 4);
    const temperature = fix({ 'suction-temperature': bias(3, 0.1) });
    const here = saturationSlope_K_Pa(refrigerant, saturationPressure(refrigerant, 276, 'dew'), 'dew');
    expect(temperature.superheat!.mean_K).toBe(3);
    expect(temperature.superheat!.uncertainty_K).toBeCloseTo(
      Math.hypot((8000 / Math.sqrt(3)) * here, 0.1),
      4,
    );
  });

  it('leave the uncertainty of the class where only noise was measured', () => {
    const noisy = fix({ 'suction-temperature': bias(0, 0, 0.12) });
    const here = saturationSlope_K_Pa(refrigerant, saturationPressure(refrigerant, 276, 'dew'), 'dew');
    expect(noisy.superheat!.uncertainty_K).toBeCloseTo(
      Math.hypot((8000 / Math.sqrt(3)) * here, 0.3 / Math.sqrt(3)),
      4,
    );
    // 0.2 K of spread with 0.12 K of noise: 0.16 K.
    expect(noisy.superheat!.spread_K).toBeCloseTo(0.16, 9);
    const pressure = fix({ 'suction-pressure': bias(0, 0, 0.12 / here) });
    expect(pressure.superheat!.spread_K).toBeCloseTo(0.16, 6);
  });

  it('leave superheat as read without an evaporating temperature or an error of the suction side', () => {
    expect(
      fix({ 'suction-temperature': bias(3) }, { conditions: { evaporatingTemperature_K: null } }).superheat!
        .mean_K,
    ).toBe(6);
    expect(fix({ 'discharge-temperature': bias(3) }).superheat!.mean_K).toBe(6);
    const still = correctedWindow({ ...one, superheat: null }, refrigerant, circuit, {
      'suction-temperature': bias(3),
    });
    expect(still.superheat).toBeNull();
  });
});

describe('the corrected level of a circuit', () => {
  const week = [window(0), window(1), window(2)];
  const spans = { week, day: week.slice(2), earlier: [window(-100)] };
  const level = (...verdicts: SensorVerdict[]) => correctedLevel(spans, refrigerant, circuit, verdicts);

  it('is none without an error that is known', () => {
    expect(level()).toBeNull();
    expect(level(verdict('suction-temperature', bias(2), { certainty: 'possible' }))).toBeNull();
  });

  it('leaves out windows before a constant error was first seen, and has no earlier time', () => {
    const since = (firstSeen_s: number) => level(verdict('suction-temperature', bias(2), { firstSeen_s }))!;
    expect(since(week[1]!.to_s).week).toHaveLength(1);
    expect(since(week[1]!.to_s - 1).week).toHaveLength(2);
    expect(since(week[2]!.to_s).day).toHaveLength(0);
    expect(since(0).earlier).toEqual([]);
    expect(since(0).week.map(({ superheat }) => superheat!.mean_K)).toEqual([4, 4, 4]);
    expect(level(verdict('suction-temperature', bias(2)))!.week).toHaveLength(3);
  });

  it('keeps all windows and the earlier time where only noise was measured', () => {
    const noisy = level(
      verdict('suction-temperature', bias(0, 0, 0.1), {
        condition: 'value-noisy',
        firstSeen_s: week[2]!.to_s,
      }),
    )!;
    expect(noisy.week).toHaveLength(3);
    expect(noisy.earlier).toHaveLength(1);
    expect(noisy.constantError).toBe(false);
    expect(noisy.corrections).toHaveLength(1);
    expect(noisy.corrections[0]!.text).toMatch(/noise/);
  });

  it('has a constant error of superheat only from the suction side', () => {
    expect(level(verdict('suction-pressure', bias(5000, 500)))!.constantError).toBe(true);
    expect(level(verdict('liquid-temperature', bias(2)))!.constantError).toBe(false);
  });

  it('says what was corrected, with the size and the side of the error', () => {
    const said = (sensor: string, error: ReturnType<typeof bias>) =>
      level(verdict(sensor, error))!.corrections;
    const [high] = said('suction-temperature', bias(2));
    expect(high!.text).toMatch(/too high/);
    const [low] = said('suction-temperature', bias(-2));
    expect(low!.text).toMatch(/too low/);
    expect(low!.quantities['bias']).toMatchObject({
      kind: 'temperature-difference',
      value: 2,
      uncertainty: 0.2,
    });
    expect(said('suction-pressure', bias(5000))[0]!.quantities['bias']!.kind).toBe('pressure-difference');
    expect(said('suction-temperature', bias(2, 0.2, 0.1))).toHaveLength(2);
    expect(said('suction-temperature', bias(2, 0.2, 0))).toHaveLength(1);
  });

  it('marks the findings whose figures are without the error, and no other', () => {
    // 14 K as read, and 13 K without the error: starved either way.
    const windows = days(7, {
      superheat: {
        ...{ mean_K: 14, median_K: 14, minimum_K: 13.4, percentile1_K: 13.5, percentile5_K: 13.7 },
        ...{ percentile95_K: 14.3, starvedFraction: 1, offset_K: 8 },
      },
    });
    const found = (sensors: SensorVerdict[]) =>
      assessCircuit({ windows, refrigerant, circuit, sensors }).findings.filter(
        ({ condition }) => condition === 'starved',
      );
    expect(found([]).map((one) => one.corrected)).toEqual([undefined]);
    expect(found([verdict('suction-temperature', bias(1))]).map((one) => one.corrected)).toEqual([true]);
  });
});
