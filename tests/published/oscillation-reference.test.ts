import { describe, expect, it } from 'vitest';
import {
  autocorrelation,
  crossCorrelationShape,
  detectOscillation,
  fitSine,
  halfCycles,
  lombScargle,
  lombScarglePower,
  lombScargleSpectrum,
  oscillationOrigin,
  withoutTrend,
} from '@coldrounds/core';
import { evenTimes } from './random-series.js';

describe('COMPUTED with scipy 1.17.1: Lomb-Scargle power of an unevenly sampled series', () => {
  const time_s = Float64Array.from({ length: 360 }, (_, k) => 10 * k + 4 * Math.sin(1.7 * k));
  const raw = time_s.map(
    (t) => 6 + 2 * Math.sin((2 * Math.PI * t) / 180) + 0.6 * Math.sin((2 * Math.PI * t) / 61) + 0.001 * t,
  );
  const value = withoutTrend(time_s, raw, 1);
  const squares = value.reduce((sum, v) => sum + v * v, 0);

  it('agrees to 6 digits at 180 s and 61 s', () => {
    expect(squares / 784.02746476).toBeCloseTo(1, 8);
    expect(lombScarglePower(time_s, value, 180) / 359.16377667).toBeCloseTo(1, 8);
    expect(lombScarglePower(time_s, value, 61) / 32.501873281).toBeCloseTo(1, 8);
    expect((2 * lombScarglePower(time_s, value, 180)) / squares).toBeCloseTo(0.916202028, 8);
  });

  it('takes off the least-squares line of scipy', () => {
    const trend = raw.map((v, i) => v - value[i]);
    const slope = (trend[359] - trend[0]) / (time_s[359] - time_s[0]);
    expect(slope / 9.42011487e-4).toBeCloseTo(1, 7);
    expect(trend[0] - slope * time_s[0]).toBeCloseTo(6.10513674, 7);
  });

  it('peaks at 180 s among 60..600 s', () => {
    const periods = Float64Array.from({ length: 541 }, (_, i) => 60 + i);
    const power = lombScargle(time_s, value, periods);
    expect(periods[power.indexOf(Math.max(...power))]).toBe(180);
  });

  it('is the same from the fast transform, to 0.2 % of the largest power, on and off the grid', () => {
    const even = evenTimes(360);
    for (const [times, spacing] of [
      [time_s, 0],
      [even, 0],
      [even, 10],
    ] as const) {
      const { step_Hz, power } = lombScargleSpectrum(times, value, 0.03, 4, spacing);
      const largest = Math.max(...power);
      for (let k = 8; k < power.length; k++)
        expect(Math.abs(power[k] - lombScarglePower(times, value, 1 / (k * step_Hz)))).toBeLessThan(
          0.002 * largest,
        );
    }
  });

  it('belongs to the period that the verdict gives', () => {
    const verdict = detectOscillation({ time_s, value: raw });
    expect(verdict.oscillating).toBe(true);
    expect(verdict.period_s! / 180).toBeCloseTo(1, 3);
    expect(verdict.amplitude!).toBeCloseTo(2, 1);
  });
});

describe('COMPUTED with scipy 1.17.1: biased autocorrelation', () => {
  it('agrees to 6 digits at lags 18 and 9', () => {
    const raw = Float64Array.from(
      { length: 720 },
      (_, k) => Math.sin((2 * Math.PI * k) / 18) + 0.2 * Math.sin((2 * Math.PI * k) / 5.3),
    );
    const mean = raw.reduce((sum, v) => sum + v, 0) / raw.length;
    const x = raw.map((v) => v - mean);
    const rho = autocorrelation(x, 40);
    expect(rho[18]).toBeCloseTo(0.907781041, 8);
    expect(rho[9]).toBeCloseTo(-0.961518667, 8);
  });
});

describe('MEMORY, Haegglund 1995: integrated absolute error of a half-cycle', () => {
  it('is 31.8310 for a sine of amplitude 1 and period 100 s', () => {
    const halves = halfCycles(
      Float64Array.from({ length: 10_000 }, (_, i) => Math.sin((2 * Math.PI * i * 0.1) / 100)),
      0.1,
    );
    expect(Math.abs(halves[2].area)).toBeCloseTo(31.831, 3);
    expect(halves[2].length_s).toBeCloseTo(50, 6);
  });
});

/** First-order process K/(Ts+1) with dead time L, integrated exactly over steps of `dt` with the input held. */
function process(K: number, T: number, L: number, dt: number) {
  const delay: number[] = new Array<number>(Math.round(L / dt)).fill(0);
  const keep = Math.exp(-dt / T);
  let y = 0;
  let place = 0;
  return (u: number): number => {
    const late = delay.length > 0 ? delay[place] : u;
    if (delay.length > 0) {
      delay[place] = u;
      place = (place + 1) % delay.length;
    }
    y = keep * y + (1 - keep) * K * late;
    return y;
  };
}

/** Every `interval` s of a trace with step `dt`, its first fifth left out. */
function sampled(trace: number[], dt: number, interval: number) {
  const every = Math.round(interval / dt);
  const value = trace.slice(Math.floor(trace.length / 5)).filter((_, i) => i % every === 0);
  return { time_s: value.map((_, i) => i * interval), value };
}

describe('MEMORY, Wang et al. 1997: limit cycle of a relay with hysteresis on K exp(-Ls)/(Ts+1)', () => {
  for (const [K, T, L, d, eps, period, amplitude] of [
    [1, 10, 3, 1, 0, 10.609, 0.25918],
    [1, 10, 3, 1, 0.1, 13.86, 0.33326],
    [2, 40, 10, 1, 0.2, 49.361, 0.59816],
  ] as const) {
    it(`has a period of ${period} s within 2 % for K=${K}, T=${T}, L=${L}, d=${d}, hysteresis ${eps}`, () => {
      const closed = 2 * T * Math.log((2 * d * K * Math.exp(L / T) - d * K + eps) / (d * K - eps));
      expect(closed).toBeCloseTo(period, 3);
      const dt = 0.005;
      const step = process(K, T, L, dt);
      let relay: number = d;
      let y = 0;
      const trace: number[] = [];
      for (let i = 0; i < (60 * period) / dt; i++) {
        if (y > eps) relay = -d;
        else if (y < -eps) relay = d;
        y = step(relay);
        trace.push(y);
      }
      const tail = trace.slice(-Math.round((4 * period) / dt));
      expect(Math.max(...tail)).toBeCloseTo(amplitude, 2);
      const verdict = detectOscillation(sampled(trace, dt, period / 18), { shortestPeriod_s: period / 6 });
      expect(verdict.oscillating).toBe(true);
      expect(Math.abs(verdict.period_s! / period - 1)).toBeLessThan(0.02);
    });
  }
});

describe('closed form: a loop at its stability limit on exp(-10s)/(40s+1)', () => {
  for (const [name, gain, integralTime, period] of [
    ['PI with Ti = T', 6.28319, 40, 40],
    ['P alone', 6.93451, Infinity, 36.6258],
  ] as const) {
    it(`${name} swings with a period of ${period} s within 2 %`, () => {
      const dt = 0.01;
      const step = process(1, 40, 10, dt);
      let integral = 0;
      let y = 0;
      const trace: number[] = [];
      for (let i = 0; i < (50 * period) / dt; i++) {
        const error = (i * dt < 1 ? 1 : 0) - y;
        integral += (error * dt) / integralTime;
        y = step(gain * (error + integral));
        trace.push(y);
      }
      const verdict = detectOscillation(sampled(trace, dt, 2), { shortestPeriod_s: 12 });
      expect(verdict.oscillating).toBe(true);
      expect(Math.abs(verdict.period_s! / period - 1)).toBeLessThan(0.02);
    });
  }
});

describe('Horch 1999: shape of the cross-correlation of opening and controlled value', () => {
  for (const [degrees, deltaTau, deltaRho] of [
    [30, 0.333, 0.0718],
    [60, 0.667, 0.333],
  ] as const) {
    it(`gives ${deltaTau} and ${deltaRho} at ${degrees} degrees off, as the closed form does`, () => {
      const phase = (degrees * Math.PI) / 180;
      expect((2 * phase) / Math.PI).toBeCloseTo(deltaTau, 3);
      expect(Math.tan(phase / 2) ** 2).toBeCloseTo(deltaRho, 3);
      const correlation = Float64Array.from({ length: 401 }, (_, i) =>
        Math.cos(((i - 200) * 2 * Math.PI) / 400 + phase),
      );
      const shape = crossCorrelationShape(correlation, 1)!;
      expect(shape.deltaTau).toBeCloseTo(deltaTau, 3);
      expect(shape.deltaRho).toBeCloseTo(deltaRho, 3);
      const times = evenTimes(720);
      const measured = oscillationOrigin({
        time_s: times,
        value: times.map((t) => 6 + Math.sin((2 * Math.PI * t) / 180)),
        valveOpening_pct: times.map((t) => 40 + 5 * Math.sin((2 * Math.PI * t) / 180 + phase)),
      });
      expect(measured.indices.deltaTau).toBeCloseTo(deltaTau, 2);
      expect(measured.indices.deltaRho).toBeCloseTo(deltaRho, 2);
    });
  }

  it('calls a quarter of a cycle friction, in step or against it not, and leaves the rest undecided', () => {
    const times = evenTimes(720);
    const origin = (degrees: number) =>
      oscillationOrigin({
        time_s: times,
        value: times.map((t) => 6 + Math.sin((2 * Math.PI * t) / 180)),
        valveOpening_pct: times.map(
          (t) => 40 + 5 * Math.sin((2 * Math.PI * t) / 180 + (degrees * Math.PI) / 180),
        ),
      }).origin;
    expect(origin(90)).toBe('valve-friction');
    expect(origin(-80)).toBe('valve-friction');
    expect(origin(0)).toBe('not-valve-friction');
    expect(origin(180)).toBe('not-valve-friction');
    expect(origin(165)).toBe('not-valve-friction');
    expect(origin(45)).toBe('undecided');
  });

  it('is undecided where nothing oscillates or the valve takes no part', () => {
    const times = evenTimes(720);
    const sine = times.map((t) => 6 + Math.sin(t / 30));
    const quiet = oscillationOrigin({ time_s: times, value: times.map(() => 6), valveOpening_pct: sine });
    expect(quiet.origin).toBe('undecided');
    const still = oscillationOrigin({ time_s: times, value: sine, valveOpening_pct: times.map(() => 40) });
    expect(still.origin).toBe('undecided');
  });
});

describe('a fitted sine', () => {
  it('gives back amplitude, level and crest', () => {
    const times = evenTimes(500).map((t) => t + 3);
    const fit = fitSine(
      times,
      times.map((t) => 5 + 2 * Math.cos((2 * Math.PI * (t - 70)) / 300)),
      300,
    )!;
    expect(fit.amplitude).toBeCloseTo(2, 9);
    expect(fit.level).toBeCloseTo(5, 9);
    expect(fit.crest_s).toBeCloseTo(70 + 8 * 300, 6);
    expect(fit.varianceFraction).toBeCloseTo(1, 9);
  });
});
