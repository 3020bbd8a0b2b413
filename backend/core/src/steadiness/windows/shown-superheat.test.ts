import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { circuit } from '../sample-circuit.js';
import { judgeWindow } from './judge-window.js';

const step = (value: number, size: number) => Math.round(value / size) * size;

/** Two hours of R134a at 10 s; the suction temperature as `shown`. */
function series(
  superheat: (i: number) => number,
  shown: (value_K: number) => number = (v) => v,
): CircuitSeries {
  const s = emptyCircuitSeries(720);
  for (let i = 0; i < 720; i++) {
    s.time_s[i] = 1_700_006_400 + 10 * i;
    s.suctionPressure_Pa[i] = saturationPressure('R134a', 276.15 + 0.01 * Math.sin(i), 'dew');
    s.suctionTemperature_K[i] = shown(276.15 + superheat(i));
    s.valveOpening_pct[i] = 45;
    s.compressorLoad_pct[i] = 70;
  }
  return s;
}
const judge = (s: CircuitSeries) => judgeWindow({ series: s, refrigerant: 'R134a', circuit });
const wave =
  (amplitude: number, mean = 6) =>
  (i: number) =>
    mean + amplitude * Math.sin((2 * Math.PI * i) / 18);

describe('superheat shown in steps', () => {
  it('is not said to oscillate where the rounding alone may do it: up to 2/pi of a step', () => {
    // A level on the edge between two steps of 1 K, moved by 0.1 K: the reading swings by half a kelvin to either side.
    const edge = series(wave(0.1, 6.5 - (276.15 % 1)), (value) => step(value, 1));
    expect(judge(edge).oscillation.oscillating).not.toBe(true);
  });

  it('is said to oscillate where it swings further than a step can', () => {
    const far = judge(series(wave(2.5), (value) => step(value, 1)));
    expect(far.oscillation.oscillating).toBe(true);
    expect(far.oscillation.amplitude!).toBeGreaterThan(2.2);
    expect(judge(series(wave(0.6))).oscillation.oscillating).toBe(true);
  });

  it('carries the noise of the rounding, q / sqrt(12), in its uncertainty', () => {
    const fine = judge(series(wave(2.5))).superheat!.uncertainty_K;
    const coarse = judge(series(wave(2.5), (value) => step(value, 1))).superheat!.uncertainty_K;
    expect(Math.sqrt(coarse ** 2 - fine ** 2)).toBeCloseTo(1 / Math.sqrt(12), 2);
  });

  it('tells nothing by the size of the swings where capacity steps among them', () => {
    const swinging = (load: (i: number) => number) => {
      const s = series(wave(2));
      s.valveOpening_pct.forEach((_, i) => {
        s.valveOpening_pct[i] = 45 + 6 * Math.sin((2 * Math.PI * i) / 18 + 1);
        s.compressorLoad_pct[i] = load(i);
      });
      return judge(s).oscillation;
    };
    expect(swinging(() => 70).shape).not.toBeNull();
    expect(swinging((i) => (Math.floor(i / 60) % 2 ? 100 : 50)).shape).toBeNull();
  });

  it('keeps the origin of a swing undecided where the opening moves in steps of a quarter of its swing or more', () => {
    const s = series(wave(2));
    s.valveOpening_pct.forEach(
      (_, i) => (s.valveOpening_pct[i] = step(45 + 6 * Math.sin((2 * Math.PI * i) / 18 + 1), 5)),
    );
    const { oscillation } = judge(s);
    expect(oscillation.oscillating).toBe(true);
    expect(oscillation.origin).toBe('undecided');
    expect(oscillation.shape).toBeNull();
  });
});

describe('a window of another mode', () => {
  it('is not judged while the circuit heats, and says for how long it did', () => {
    const s = series(wave(0.1));
    for (let i = 0; i < 720; i++) {
      const heats = i >= 240 && i < 600;
      // A unit that changes over stops first.
      if ((i >= 234 && i < 240) || (i >= 600 && i < 606)) s.compressorLoad_pct[i] = 0;
      s.enteringWaterTemperature_K[i] = heats ? 311 : 285;
      s.leavingWaterTemperature_K[i] = heats ? 317 : 280;
      s.dischargePressure_Pa[i] = heats ? 3.2e5 : 9e5;
      if (heats) {
        s.suctionPressure_Pa[i] = saturationPressure('R134a', 320, 'dew');
        s.suctionTemperature_K[i] = 318;
      }
    }
    const { minutes, superheat } = judge(s);
    expect(minutes.reversed).toBeCloseTo(60, 0);
    expect(minutes.starting).toBeCloseTo(10, 0);
    expect(superheat!.underLimitFraction).toBe(0);
    expect(superheat!.mean_K).toBeCloseTo(6, 1);
  });

  it('sent on change is judged as if it had been sampled', () => {
    const whole = series((i) => 6 + 1.5 * Math.sin(i / 40) + 0.4 * Math.sin(i / 7));
    whole.suctionPressure_Pa.forEach(
      (p, i) => (whole.suctionPressure_Pa[i] = p + 4e3 * Math.sin(i / 55) + 900 * Math.sin(i / 9)),
    );
    const sent = { ...whole };
    for (const [name, deadband] of [
      ['suctionTemperature_K', 0.2],
      ['suctionPressure_Pa', 800],
      ['compressorLoad_pct', 1],
      ['valveOpening_pct', 1],
    ] as const) {
      let last = NaN;
      sent[name] = whole[name].map((value) => (Math.abs(value - last) < deadband ? NaN : (last = value)));
    }
    const a = judge(whole);
    const b = judge(sent);
    expect(b.minutes.steady).toBeGreaterThan(0.97 * a.minutes.steady);
    expect(Math.abs(b.superheat!.mean_K - a.superheat!.mean_K)).toBeLessThan(0.1);
    expect(Math.abs(b.superheat!.spread_K - a.superheat!.spread_K)).toBeLessThan(0.15);
  });
});
