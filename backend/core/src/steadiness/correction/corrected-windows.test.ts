import { describe, expect, it } from 'vitest';
import type { SensorVerdict } from '../../diagnosis/not-judged.js';
import { normalDraws, seededRandom } from '../../numerics/index.js';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries } from '../../telemetry/circuit-series.js';
import { assessCircuit } from '../assess-circuit.js';
import { circuit } from '../sample-circuit.js';
import { judgeWindow } from '../windows/judge-window.js';
import { corrected, correctedWindow } from './corrected-windows.js';

const refrigerant = 'R134a';

function gaussian(seed: number): () => number {
  return normalDraws(seededRandom(seed));
}

interface Run {
  superheat_K: (k: number) => number;
  temperatureBias_K?: number;
  pressureBias_Pa?: number;
  pressureNoise_Pa?: number;
  from_s?: number;
}

/** Two hours at 10 s of steady running that evaporates at 3 C. */
function run({
  superheat_K,
  temperatureBias_K = 0,
  pressureBias_Pa = 0,
  pressureNoise_Pa = 0,
  from_s = 0,
}: Run) {
  const draw = gaussian(7);
  const series = emptyCircuitSeries(720);
  const pressure_Pa = saturationPressure(refrigerant, 276.15, 'dew');
  for (let k = 0; k < 720; k++) {
    series.time_s[k] = from_s + 10 * k;
    series.suctionPressure_Pa[k] = pressure_Pa + pressureBias_Pa + pressureNoise_Pa * draw();
    series.suctionTemperature_K[k] = 276.15 + superheat_K(k) + temperatureBias_K;
    series.compressorLoad_pct[k] = 70;
    series.valveOpening_pct[k] = 50;
    series.superheatSetpoint_K[k] = 6;
  }
  return judgeWindow({ series, refrigerant, circuit });
}

/** Wanders between 0.5 and 3.5 K: a third of the time under 1.5 K, by the law of a sine. */
const wandering = (k: number) => 2 + 1.5 * Math.sin((2 * Math.PI * k) / 397);

const verdict = (
  sensor: string,
  error: SensorVerdict['error'],
  certainty: SensorVerdict['certainty'] = 'likely',
) =>
  ({
    condition: error?.noise ? 'value-noisy' : 'sensor-bias',
    certainty,
    subject: { kind: 'sensor', circuit: 1, sensor },
    error,
  }) satisfies SensorVerdict;

describe('a window corrected for the measured error of a sensor', () => {
  it('is what the right sensor would have shown, for a suction sensor that reads 5 K high', () => {
    const truth = run({ superheat_K: wandering }).superheat!;
    const read = run({ superheat_K: wandering, temperatureBias_K: 5 });
    expect(read.superheat!.underLimitFraction).toBe(0);
    const right = correctedWindow(read, refrigerant, circuit, {
      'suction-temperature': { bias: 5, uncertainty: 0.3 },
    }).superheat!;
    expect(right.mean_K).toBeCloseTo(truth.mean_K, 6);
    expect(right.percentile1_K).toBeCloseTo(truth.percentile1_K, 6);
    expect(truth.underLimitFraction).toBeGreaterThan(0.4);
    expect(Math.abs(right.underLimitFraction - truth.underLimitFraction)).toBeLessThan(0.05);
  });

  it('takes a pressure error along the saturation curve, and the evaporating temperature with it', () => {
    const truth = run({ superheat_K: wandering });
    const read = run({ superheat_K: wandering, pressureBias_Pa: -0.4e5 });
    const right = correctedWindow(read, refrigerant, circuit, {
      'suction-pressure': { bias: -0.4e5, uncertainty: 3000 },
    });
    expect(read.superheat!.mean_K - truth.superheat!.mean_K).toBeGreaterThan(3);
    expect(right.superheat!.mean_K).toBeCloseTo(truth.superheat!.mean_K, 2);
    expect(right.conditions.evaporatingTemperature_K).toBeCloseTo(276.15, 2);
  });

  it('carries the uncertainty of the error in place of the tolerance of the sensor', () => {
    const read = run({ superheat_K: wandering, temperatureBias_K: 5 });
    const uncertainty = (K: number) =>
      correctedWindow(read, refrigerant, circuit, { 'suction-temperature': { bias: 5, uncertainty: K } })
        .superheat!.uncertainty_K;
    // 8 kPa at about 8.8 K/bar is 0.70 K, over root 3 0.41 K.
    expect(uncertainty(0)).toBeCloseTo(0.41, 1);
    expect(uncertainty(1)).toBeCloseTo(Math.hypot(0.41, 1), 1);
  });

  it('takes the noise of the pressure out of the time under the limit (closed form: normal distribution)', () => {
    // True superheat 4 K with a standard deviation of 0.3 K is never under 2 K (6.7 deviations).
    const draw = gaussian(11);
    const slow: number[] = [];
    for (let k = 0, x = 0; k < 720; k++) slow.push((x = 0.8 * x + 0.6 * 0.3 * draw()));
    const read = run({ superheat_K: (k) => 4 + slow[k]!, pressureNoise_Pa: 0.2e5 }).superheat!;
    // 0.2 bar at 8.8 K/bar is 1.8 K: 13 % of the normal distribution lie under 2 K then.
    expect(read.underLimitFraction).toBeGreaterThan(0.08);
    const right = corrected(read, { bias_K: 0, uncertainty_K: 0.4, noise_K: 0.2 * 8.8 });
    expect(right.underLimitFraction).toBeLessThan(0.01);
    expect(right.spread_K).toBeLessThan(0.6);
    expect(right.mean_K).toBe(read.mean_K);
  });

  it('leaves real dips under the limit where the noise is small', () => {
    const truth = run({ superheat_K: wandering }).superheat!;
    const read = run({ superheat_K: wandering, pressureNoise_Pa: 0.05e5 }).superheat!;
    const right = corrected(read, { bias_K: 0, uncertainty_K: 0.4, noise_K: 0.05 * 8.8 });
    expect(Math.abs(right.underLimitFraction - truth.underLimitFraction)).toBeLessThan(0.05);
  });
});

describe('a circuit whose suction sensor reads 5 K high', () => {
  const windows = Array.from({ length: 12 }, (_, k) =>
    run({ superheat_K: wandering, temperatureBias_K: 5, from_s: 7200 * k }),
  );
  const findings = (sensors: SensorVerdict[]) =>
    assessCircuit({ windows, refrigerant, circuit, sensors }).findings;
  const find = (sensors: SensorVerdict[], condition: string) =>
    findings(sensors).find((finding) => finding.condition === condition);

  it('shows nothing of its flooding as long as nobody knows', () => {
    expect(find([], 'floodback-risk')).toBeUndefined();
  });

  it('is told to flood once the error is measured, and the correction is said', () => {
    const found = find([verdict('suction-temperature', { bias: 5, uncertainty: 0.3 })], 'floodback-risk')!;
    expect(found.headline.quantities.share!.value).toBeGreaterThan(0.4);
    expect(found.reasons.some(({ text }) => text.startsWith('Corrected for the error'))).toBe(true);
  });

  it('gives neither floodback nor headroom where the error is only possible or not known', () => {
    for (const sensors of [
      [verdict('suction-temperature', { bias: 5, uncertainty: 0.3 }, 'possible')],
      [verdict('suction-temperature', undefined)],
    ])
      expect(findings(sensors)).toEqual([]);
  });

  it('is corrected only from when the error was first seen', () => {
    const since = { ...verdict('suction-temperature', { bias: 5, uncertainty: 0.3 }), firstSeen_s: 9 * 7200 };
    const found = find([since], 'floodback-risk')!;
    expect(found.firstSeen_s).toBeGreaterThanOrEqual(8 * 7200);
  });
});
