import { describe, expect, it } from 'vitest';
import { normalDraws, seededRandom } from '../../../numerics/index.js';
import { identifyLoop, type SwingRecord } from './identify-loop.js';
import { loopAdvice as adviceOnLoops, steadyShare, swingingLoops } from './loop-advice.js';
import { marginalLoop } from './loop-model.js';

interface Loop {
  gain_K_pct: number;
  lag_s: number;
  deadTime_s: number;
  control_pct_K: number;
  integralTime_s: number;
  sample_s: number;
  periods?: number;
  noise_K?: number;
  /** Superheat falls no further, and the thermometer follows it. */
  floor_K?: number;
  thermometerLag_s?: number;
}

/** A loop of lags and dead time under a PI controller, by Euler's rule in steps of 0.1 s, that starts 1 K off; the valve ends at 0 and 100 %. */
function swing(loop: Loop): SwingRecord {
  const noise = normalDraws(seededRandom(7));
  const step = 0.1;
  const period_s = 4 * loop.deadTime_s;
  const steps = Math.round(((loop.periods ?? 40) * period_s) / step);
  const delay = Math.round(loop.deadTime_s / step);
  const opening = new Float64Array(steps).fill(40);
  const kept: [number, number, number][] = [];
  let [superheat, shown, integral, seen] = [9, 9, 0, 9];
  for (let i = 0; i < steps; i++) {
    const drive = i < delay ? 40 : opening[i - delay];
    superheat += (step / loop.lag_s) * (8 + loop.gain_K_pct * (drive - 40) - superheat);
    superheat = Math.max(superheat, loop.floor_K ?? -Infinity);
    shown += loop.thermometerLag_s ? (step / loop.thermometerLag_s) * (superheat - shown) : superheat - shown;
    if (i % 10 === 0) seen = shown + (loop.noise_K ?? 0.01) * noise();
    const wanted = 40 + loop.control_pct_K * (seen - 8 + integral);
    // The integral is held while the valve stands at an end.
    if (wanted > 0 && wanted < 100) integral += (step * (seen - 8)) / loop.integralTime_s;
    opening[i] = Math.max(0, Math.min(100, wanted));
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
  it('has the controller that made it, within what a delay of some seconds makes of it, and the gain at which it swings on', () => {
    const { control, best } = identifyLoop(swing(base))!;
    const all = [control.best, ...control.others].map(({ gain_pct_K }) => gain_pct_K / base.control_pct_K);
    expect(Math.min(...all)).toBeLessThan(1.02);
    expect(Math.max(...all)).toBeGreaterThan(0.98);
    expect(Math.max(...all) / Math.min(...all)).toBeLessThan(1.4);
    const marginal = marginalLoop(best, base.integralTime_s)!;
    expect(marginal.gain_pct_K / base.control_pct_K).toBeGreaterThan(0.85);
    expect(marginal.gain_pct_K / base.control_pct_K).toBeLessThan(1.15);
    expect(marginal.period_s).toBeGreaterThan(0.9 * 80);
    expect(marginal.period_s).toBeLessThan(1.1 * 80);
  });

  it.each([1.3, 1.7, 2.2])(
    'at %s times the gain at which it swings on is told so, although floor and valve hold the swing',
    (times) => {
      const thermometerLag_s = 12;
      const truth = { gain_K_pct: -1, lag_s: 25, thermometerLag_s, deadTime_s: 18 };
      const { gain_pct_K, period_s } = marginalLoop(truth, 80)!;
      const record = swing({
        ...truth,
        control_pct_K: times * gain_pct_K,
        integralTime_s: 80,
        sample_s: 10,
        floor_K: 1,
        noise_K: 0.05,
      });
      const { control, best } = identifyLoop({ ...record, period_s: cycleOf(record) })!;
      const found = control.best.gain_pct_K / marginalLoop(best, control.best.integralTime_s)!.gain_pct_K;
      expect(found / times).toBeGreaterThan(0.7);
      expect(found / times).toBeLessThan(1.3);
      expect(marginalLoop(best, 80)!.period_s / period_s).toBeGreaterThan(0.8);
      expect(marginalLoop(best, 80)!.period_s / period_s).toBeLessThan(1.2);
    },
  );

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

const loopAdvice = (records: readonly SwingRecord[]) => adviceOnLoops(swingingLoops(records));

/** Period by crossings of the mean, upwards. */
function cycleOf({ time_s, superheat_K }: SwingRecord): number {
  const mean = superheat_K.reduce((sum, value) => sum + value, 0) / superheat_K.length;
  const up = [...time_s].filter((_, i) => i > 0 && superheat_K[i - 1] < mean && superheat_K[i] >= mean);
  return (up[up.length - 1] - up[0]) / (up.length - 1);
}

describe('advice on a loop that swings on', () => {
  // Skogestad's T/(2 K L) over the marginal pi T/(2 K L), both at an integral time of the lag: one over pi. What the swing
  // leaves open of slow answers takes some of it.
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
  ])('is at most a third of its gain, and more than a sixth, %s', (_, loop) => {
    const advice = loopAdvice([swing(loop)])!;
    const { gain, integralTime } = advice.figures;
    expect(gain!.low).toBeLessThanOrEqual(gain!.value);
    expect(gain!.high).toBeGreaterThanOrEqual(gain!.value);
    expect(gain!.value * Math.PI).toBeGreaterThan(0.5);
    expect(gain!.value * Math.PI).toBeLessThan(1.1);
    // Ziegler and Nichols' integral time is today's within a few percent here, and is not shortened.
    expect(integralTime!.value).toBeGreaterThan(0.95);
    expect(integralTime!.value).toBeLessThan(1.2);
    expect(advice.basis.text).toContain('Skogestad');
  });

  it('is the calmest of those of several swings', () => {
    const weak = swing(base);
    const strong = swing({ ...base, gain_K_pct: -0.25, control_pct_K: marginal(-0.25, 60, 20) });
    const [one, other, both] = [[weak], [strong], [weak, strong]].map(
      (records) => loopAdvice(records)!.figures.gain!,
    );
    expect(both.value).toBeLessThan(Math.max(one.value, other.value) * 1.05);
    expect(both.high - both.low).toBeGreaterThan(Math.min(one.high - one.low, other.high - other.low) * 0.9);
  });

  it('is none for a loop that is calm already', () => {
    // A fifth of the marginal gain does not swing on; noise alone moves it.
    expect(loopAdvice([swing({ ...base, control_pct_K: base.control_pct_K / 5 })])).toBeNull();
  });

  it('is none without a swing', () => {
    expect(loopAdvice([])).toBeNull();
  });
});

describe('the fraction of today’s gain that is steady with today’s integral time', () => {
  const shareOf = (loop: Loop) => steadyShare(swingingLoops([swing(loop)]))!;

  it('is at most a third where the loop just swings on, by Skogestad’s rule, and more than a sixth', () => {
    const share = shareOf(base);
    expect(share.value * Math.PI).toBeGreaterThan(0.5);
    expect(share.value * Math.PI).toBeLessThan(1.1);
    expect(share.low).toBeLessThanOrEqual(share.value);
    expect(share.high).toBeGreaterThanOrEqual(share.value);
  });

  it('is smaller the shorter the integral time is', () => {
    // Half of the integral time makes the same gain swing by more: a gain that is steady has to be lower.
    const truth = { gain_K_pct: -0.2, lag_s: 60, thermometerLag_s: 0, deadTime_s: 20 };
    const [long, short] = [60, 30].map((integralTime_s) => {
      const { gain_pct_K } = marginalLoop(truth, integralTime_s)!;
      return shareOf({ ...base, control_pct_K: gain_pct_K, integralTime_s }).value * gain_pct_K;
    });
    expect(short).toBeLessThan(long);
  });

  it('is none without a swing', () => {
    expect(steadyShare([])).toBeNull();
  });
});
