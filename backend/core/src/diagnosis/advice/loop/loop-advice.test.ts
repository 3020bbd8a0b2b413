import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../../numerics/index.js';
import { identifyLoop, type SwingRecord } from './identify-loop.js';
import { loopGainAdvice } from './loop-advice.js';

interface Loop {
  gain_K_pct: number;
  lag_s: number;
  deadTime_s: number;
  control_pct_K: number;
  integralTime_s: number;
  sample_s: number;
  periods?: number;
  noise_K?: number;
}

/** A loop of first order with dead time under a PI controller, by Euler's rule in steps of 0.1 s, that starts 1 K off. */
function swing(loop: Loop): SwingRecord {
  const noise = normalDraws(seededRandom(7));
  const step = 0.1;
  const period_s = 4 * loop.deadTime_s;
  const steps = Math.round(((loop.periods ?? 40) * period_s) / step);
  const delay = Math.round(loop.deadTime_s / step);
  const opening = new Float64Array(steps).fill(40);
  const kept: [number, number, number][] = [];
  let [superheat, integral, seen] = [9, 0, 9];
  for (let i = 0; i < steps; i++) {
    const drive = i < delay ? 40 : opening[i - delay];
    superheat += (step / loop.lag_s) * (8 + loop.gain_K_pct * (drive - 40) - superheat);
    if (i % 10 === 0) seen = superheat + (loop.noise_K ?? 0.01) * noise();
    integral += (step * (seen - 8)) / loop.integralTime_s;
    opening[i] = 40 + loop.control_pct_K * (seen - 8 + integral);
    if (i % Math.round(loop.sample_s / step) === 0) kept.push([i * step, seen, opening[i]]);
  }
  const column = (k: number) => Float64Array.from(kept, (row) => row[k]);
  return { time_s: column(0), superheat_K: column(1), valveOpening_pct: column(2), period_s };
}

// At the gain of the closed form, pi T/(2 K L), the loop swings on at 4 L.
const marginal = (gain_K_pct: number, lag_s: number, deadTime_s: number) =>
  (Math.PI * lag_s) / (2 * Math.abs(gain_K_pct) * deadTime_s);
const base: Loop = {
  gain_K_pct: -0.2,
  lag_s: 60,
  deadTime_s: 20,
  control_pct_K: marginal(-0.2, 60, 20),
  integralTime_s: 60,
  sample_s: 5,
};

describe('a loop identified in its own swing', () => {
  it('has the controller and the model that made it', () => {
    const loop = identifyLoop(swing(base))!;
    expect(loop.control.gain_pct_K / base.control_pct_K).toBeGreaterThan(0.85);
    expect(loop.control.gain_pct_K / base.control_pct_K).toBeLessThan(1.15);
    const lags = loop.models.map(({ lag_s }) => lag_s);
    const dead = loop.models.map(({ deadTime_s }) => deadTime_s);
    expect(Math.min(...lags)).toBeLessThan(75);
    expect(Math.max(...lags)).toBeGreaterThan(50);
    expect(Math.min(...dead)).toBeLessThan(22);
    expect(Math.max(...dead)).toBeGreaterThan(17);
  });

  it('is none where samples are too few, in a period or altogether', () => {
    expect(identifyLoop(swing({ ...base, sample_s: 20 }))).toBeNull();
    expect(identifyLoop(swing({ ...base, periods: 3 }))).toBeNull();
  });

  it('is none where the opening does not follow superheat', () => {
    const record = swing(base);
    const noise = normalDraws(seededRandom(3));
    expect(
      identifyLoop({ ...record, valveOpening_pct: record.valveOpening_pct.map(() => 40 + noise()) }),
    ).toBeNull();
  });
});

describe('advice on the gain of a loop that swings on', () => {
  // Skogestad's T/(2 K L) over the marginal pi T/(2 K L): one over pi, 0.318.
  it.each([
    ['with a lag of three dead times', base],
    [
      'with a lag of six dead times, sampled every 2 s',
      {
        ...base,
        lag_s: 90,
        deadTime_s: 15,
        control_pct_K: marginal(-0.2, 90, 15),
        integralTime_s: 90,
        sample_s: 2,
      },
    ],
    ['with more noise', { ...base, noise_K: 0.05 }],
  ])('is a third of it, %s', (_, loop) => {
    const advice = loopGainAdvice(swing(loop))!;
    const { value, low, high } = advice.figures.gain!;
    expect(low).toBeLessThanOrEqual(value);
    expect(high).toBeGreaterThanOrEqual(value);
    expect(low).toBeLessThan(1 / Math.PI + 0.05);
    expect(high).toBeGreaterThan(1 / Math.PI - 0.05);
    expect(value * Math.PI).toBeGreaterThan(0.75);
    expect(value * Math.PI).toBeLessThan(1.3);
    expect(advice.basis.text).toContain('Skogestad');
  });

  it('is none for a loop that is calm already', () => {
    // A fifth of the marginal gain does not swing on; noise alone moves it.
    expect(loopGainAdvice(swing({ ...base, control_pct_K: base.control_pct_K / 5 }))).toBeNull();
  });
});
