import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { circuit } from '../sample-circuit.js';
import { judgeWindow } from './judge-window.js';
import { thermometerSettling_s } from './superheat-level.js';

const start_s = 1_700_006_400;

/**
 * Two hours in which the load steps between two stages every eight minutes. The evaporating temperature follows at
 * once, the pipe's thermometer by first order (tau dT/dt = T_true - T), and true superheat is 6 K throughout.
 */
function staged(tau_s: number, steps_K = 6, rest: (s: CircuitSeries, i: number) => void = () => undefined) {
  const s = emptyCircuitSeries(720);
  let sensor_K = 276 + 6;
  for (let i = 0; i < 720; i++) {
    const high = Math.floor(i / 48) % 2 === 1;
    const evaporating_K = 276 + (high ? 0 : steps_K);
    sensor_K += (evaporating_K + 6 - sensor_K) * -Math.expm1(-10 / tau_s);
    s.time_s[i] = start_s + 10 * i;
    s.suctionPressure_Pa[i] = saturationPressure('R134a', evaporating_K, 'dew');
    s.suctionTemperature_K[i] = sensor_K;
    s.compressorLoad_pct[i] = high ? 100 : 50;
    s.valveOpening_pct[i] = 45;
    rest(s, i);
  }
  return s;
}
const held = (series: CircuitSeries) => judgeWindow({ series, refrigerant: 'R134a', circuit }).superheat!;

describe('superheat after steps of capacity', () => {
  it('is not judged while the thermometer follows: a lag of half a minute is no floodback', () => {
    const { underLimitFraction, surelyUnderLimitFraction, minutes, mean_K } = held(staged(30));
    // But for a sample of the first stage, whose beginning the series does not show.
    expect(underLimitFraction).toBeLessThan(0.003);
    expect(surelyUnderLimitFraction).toBe(0);
    expect(mean_K).toBeCloseTo(6, 1);
    // Fourteen steps of three minutes each are left out of two hours.
    expect(minutes).toBeCloseTo(120 - (14 * thermometerSettling_s) / 60, 0);
  });

  it('is told by the evaporating temperature where no load is sent', () => {
    const blind = staged(30, 6, (s, i) => (s.compressorLoad_pct[i] = NaN));
    expect(held(blind).underLimitFraction).toBeLessThan(0.003);
  });

  it('counts where it lasts longer than a thermometer needs', () => {
    // Really wet for the whole of each low stage.
    const wet = staged(30, 6, (s, i) => {
      if (Math.floor(i / 48) % 2 === 0) s.suctionTemperature_K[i] -= 5.5;
    });
    expect(held(wet).underLimitFraction).toBeGreaterThan(0.4);
    expect(held(wet).surelyUnderLimitFraction).toBeGreaterThan(0.4);
  });

  it('stays steady running for everything else', () => {
    const { minutes } = judgeWindow({ series: staged(30), refrigerant: 'R134a', circuit });
    expect(minutes.steady).toBeCloseTo(120, 6);
  });

  it('is judged throughout where the load slides', () => {
    const sliding = staged(30, 0, (s, i) => (s.compressorLoad_pct[i] = 60 + 10 * Math.sin(i / 60)));
    expect(held(sliding).minutes).toBeCloseTo(120, 6);
  });
});

it('there is no superheat where suction pressure reads over discharge pressure: the sides are mixed up', () => {
  const mixedUp = staged(30, 6, (s, i) => (s.dischargePressure_Pa[i] = 0.9 * s.suctionPressure_Pa[i]));
  expect(held(mixedUp)).toBeNull();
});

describe('dips under the limit', () => {
  const dipping = (under: (i: number) => boolean) =>
    held(
      staged(1, 0, (s, i) => {
        s.compressorLoad_pct[i] = 70;
        if (under(i)) s.suctionTemperature_K[i] = 276;
      }),
    );

  it('are one where less than a minute parts them', () => {
    expect(dipping((i) => i % 100 < 3).underLimitExcursions).toBe(8);
    expect(dipping((i) => i % 100 < 3 || (i % 100 >= 8 && i % 100 < 11)).underLimitExcursions).toBe(8);
    expect(dipping((i) => i % 100 < 3 || (i % 100 >= 9 && i % 100 < 12)).underLimitExcursions).toBe(16);
    expect(dipping((i) => i % 100 < 3).surelyUnderLimitExcursions).toBe(8);
    expect(dipping(() => false).underLimitExcursions).toBe(0);
  });
});
