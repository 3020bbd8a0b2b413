import { describe, expect, it } from 'vitest';
import { highestSensitivity, marginalLoop, openLoop, steadyGain } from './loop-model.js';

const model = { gain_K_pct: -1, lag_s: 40, thermometerLag_s: 0, deadTime_s: 10 };

describe('a loop of first order with dead time whose integral time is its lag', () => {
  it('swings on at four times its dead time, at the gain of the closed form', () => {
    // Closed form: period 4L, gain pi T/(2 K L): 40.000 s and 6.28319 for K = 1, T = 40, L = 10.
    const marginal = marginalLoop(model, 40)!;
    expect(marginal.period_s).toBeCloseTo(40, 3);
    expect(marginal.gain_pct_K).toBeCloseTo(6.28319, 3);
    const [real, imaginary] = openLoop(
      model,
      { gain_pct_K: marginal.gain_pct_K, integralTime_s: 40 },
      (2 * Math.PI) / 40,
    );
    expect(real).toBeCloseTo(-1, 3);
    expect(imaginary).toBeCloseTo(0, 3);
  });

  // PUBLISHED, Skogestad 2003, J. Process Control 13:291, table 1 (recalled): first order with dead time, closed-loop time
  // equal to the dead time: Kc = T/(2 K L), highest sensitivity 1.59, gain margin 3.14.
  it('has the published robustness at the published gain', () => {
    expect(highestSensitivity(model, { gain_pct_K: 2, integralTime_s: 40 })).toBeCloseTo(1.59, 2);
    const gain = steadyGain(model, 40)!;
    expect(gain).toBeCloseTo(2, 1);
    expect(marginalLoop(model, 40)!.gain_pct_K / gain).toBeCloseTo(3.14, 1);
  });

  it('goes with one over the gain of what is controlled', () => {
    expect(steadyGain({ ...model, gain_K_pct: -0.25 }, 40)! / steadyGain(model, 40)!).toBeCloseTo(4, 6);
  });
});

describe('a loop whose integral is too fast', () => {
  it('has a lower steady gain, and none where it swings at any', () => {
    expect(steadyGain(model, 20)!).toBeLessThan(steadyGain(model, 40)!);
    const hasty = steadyGain({ gain_K_pct: -1, lag_s: 400, thermometerLag_s: 0, deadTime_s: 40 }, 1);
    expect(hasty === null || hasty < 0.1).toBe(true);
  });
});
