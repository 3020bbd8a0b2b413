import { describe, expect, it } from 'vitest';
import { saturationPressure } from '../../refrigerants/index.js';
import { assessCircuit } from '../../steadiness/assess-circuit.js';
import { judgeWindow } from '../../steadiness/windows/judge-window.js';
import { emptyCircuitSeries, type CircuitSeries } from '../../telemetry/circuit-series.js';
import { circuit } from '../../steadiness/sample-circuit.js';
import { windowPicture } from '../window-picture.js';

const start_s = 1_700_006_400;
const period_s = 190;

/** Superheat that swings about 8 K, with a valve that swings by `opening_pct`, a little ripple on both. */
function swinging(window: number, amplitude_K: number, opening_pct: number, samples = 720): CircuitSeries {
  const s = emptyCircuitSeries(samples);
  const pressure_Pa = saturationPressure('R134a', 276.15, 'dew');
  for (let i = 0; i < samples; i++) {
    const time = 7200 * window + 10 * i;
    const angle = (2 * Math.PI * time) / period_s;
    const ripple = Math.sin(i * i);
    s.time_s[i] = start_s + time;
    s.suctionPressure_Pa[i] = pressure_Pa;
    s.suctionTemperature_K[i] = 276.15 + 8 + amplitude_K * Math.sin(angle) + 0.1 * ripple;
    s.valveOpening_pct[i] = 45 + opening_pct * Math.sin(angle + 2.5) + 0.02 * ripple;
    s.compressorLoad_pct[i] = 70;
    s.superheatSetpoint_K[i] = 8;
    s.enteringWaterTemperature_K[i] = 285 + 0.02 * ripple;
    s.leavingWaterTemperature_K[i] = 280 + 0.02 * ripple;
  }
  return s;
}

const windows = (amplitude_K: number, opening_pct: number) =>
  [0, 1, 2, 3].map((k) =>
    judgeWindow({ series: swinging(k, amplitude_K, opening_pct), refrigerant: 'R134a', circuit }),
  );
const hunting = (input: Parameters<typeof assessCircuit>[0]['windows'], neighbours?: (typeof input)[]) =>
  assessCircuit({ windows: input, refrigerant: 'R134a', circuit, neighbours }).hunting!;

describe('the cause of hunting', () => {
  it('is the measurement where superheat swings and the valve takes no part', () => {
    const found = hunting(windows(0.8, 0));
    expect(found.causes[0]!.key).toBe('measurement-noise');
    expect(found.causes[0]!.supports[0]!.text).toContain('the valve takes no part');
    expect(found.separatingCheck).not.toBeNull();
  });

  it('is not the measurement where the valve swings along', () => {
    expect(hunting(windows(0.8, 4)).causes.map(({ key }) => key)).not.toContain('measurement-noise');
  });

  it('is not the other circuit where that one only follows at a twentieth of the swing', () => {
    const found = hunting(windows(3, 12), [windows(0.15, 0.6)]);
    expect(found.causes.map(({ key }) => key)).not.toContain('circuits-disturb-each-other');
  });

  it('is the two circuits together where both swing as far, locked', () => {
    const found = hunting(windows(2, 8), [windows(2.2, 9)]);
    expect(found.causes[0]!.key).toBe('circuits-disturb-each-other');
    expect(found.causes[0]!.supports.some(({ text }) => text.includes('as far'))).toBe(true);
  });

  it('has probabilities that add up to one at most, likeliest first', () => {
    const { causes } = hunting(windows(3, 12));
    const weights = causes.map(({ weight }) => weight);
    expect(weights).toEqual([...weights].sort((a, b) => b - a));
    expect(weights.reduce((a, b) => a + b)).toBeLessThanOrEqual(1 + 1e-9);
  });
});

describe('the picture of a window', () => {
  const picture = windowPicture({ series: swinging(0, 1.5, 6), refrigerant: 'R134a' });

  it('marks each cycle from crest to crest, as high and as low as the swing', () => {
    expect(picture.verdict.oscillating).toBe(true);
    expect(Math.abs(picture.verdict.period_s! / period_s - 1)).toBeLessThan(0.02);
    expect(picture.cycles.length).toBeGreaterThanOrEqual(Math.floor(7200 / period_s) - 2);
    for (const { from_s, to_s, crest_K, trough_K } of picture.cycles) {
      expect(Math.abs(to_s - from_s - period_s)).toBeLessThan(45);
      expect(Math.abs(crest_K - 9.5)).toBeLessThan(0.35);
      expect(Math.abs(trough_K - 6.5)).toBeLessThan(0.35);
    }
  });

  it('repeats after a period, and half a period later is opposite', () => {
    const { lag_s, value } = picture.autocorrelation!;
    const near = (lag: number) => value[lag_s.findIndex((one) => one >= lag)]!;
    expect(near(period_s)).toBeGreaterThan(0.7);
    expect(near(period_s / 2)).toBeLessThan(-0.7);
  });

  it('has its spectrum at its highest where the period was found', () => {
    const { period_s: periods, power, found_s } = picture.spectrum!;
    const peak = periods[power.indexOf(Math.max(...power))]!;
    expect(Math.abs(peak / found_s! - 1)).toBeLessThan(0.03);
  });

  it('folds opening and superheat into one mean cycle of the swings that were put in', () => {
    const cycle = picture.loop.meanCycle;
    const range = (values: number[]) => (Math.max(...values) - Math.min(...values)) / 2;
    expect(Math.abs(range(cycle.map((one) => one.superheat_K)) - 1.5)).toBeLessThan(0.15);
    expect(Math.abs(range(cycle.map((one) => one.valveOpening_pct)) - 6)).toBeLessThan(0.6);
  });

  it('of ten minutes shows the trace and no more', () => {
    const short = windowPicture({ series: swinging(0, 1.5, 6, 36), refrigerant: 'R134a' });
    expect(short.verdict.oscillating).toBeNull();
    expect(short.trace.superheat_K.length).toBe(36);
    expect(short.autocorrelation).toBeNull();
    expect(short.spectrum).toBeNull();
    expect(short.cycles).toEqual([]);
  });

  it('is plain data', () => {
    expect(JSON.parse(JSON.stringify(picture))).toEqual(picture);
  });
});
