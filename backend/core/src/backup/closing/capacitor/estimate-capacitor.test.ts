import { describe, expect, it } from 'vitest';
import { BackupInputError } from '../../errors.js';
import { estimateCapacitor } from './estimate-capacitor.js';
import { normalDraws, seededRandom } from '../../../numerics/index.js';

/** Rest, then constant power until `end_s`, of an ideal capacitor behind its ESR, stepped far finer than sampled. */
function constantPower(options: {
  c: number;
  r: number;
  p: number;
  v: number;
  end_s: number;
  sampling_s: number;
  noise_V?: number;
  rest_s?: number;
  seed?: number;
}) {
  const { c, r, p, v, end_s, sampling_s, noise_V = 0, rest_s = 0.2, seed = 1 } = options;
  const random = seededRandom(seed);
  const normal = normalDraws(random);
  const time_s: number[] = [];
  const voltage_V: number[] = [];
  const current_A: number[] = [];
  let vc = v;
  const dt = sampling_s / 64;
  let last = -Infinity;
  for (let k = 0; ; k++) {
    const t = -rest_s + k * dt;
    if (t > end_s) break;
    const on = t >= 0;
    const terminal = on ? (vc + Math.sqrt(vc * vc - 4 * p * r)) / 2 : vc;
    const i = on ? p / terminal : 0;
    if (t - last >= sampling_s - dt / 2) {
      last = t;
      time_s.push(t);
      voltage_V.push(terminal + noise_V * normal());
      current_A.push(i);
    }
    vc -= (i * dt) / c;
  }
  return { time_s, voltage_V, current_A, ratedVoltage_V: 20 };
}

describe('estimateCapacitor with a measured current', () => {
  it('finds capacitance and ESR of a short closing by least squares', () => {
    const estimate = estimateCapacitor(
      constantPower({ c: 1.4, r: 0.27, p: 9, v: 20, end_s: 6.6, sampling_s: 0.02 }),
    );
    expect(estimate.method).toBe('least-squares');
    expect(Math.abs(estimate.capacitance_F! / 1.4 - 1)).toBeLessThan(0.01);
    expect(Math.abs(estimate.esr_Ohm! / 0.27 - 1)).toBeLessThan(0.05);
  });

  it('takes the window between 80 and 40 % where the curve passes it', () => {
    const estimate = estimateCapacitor(
      constantPower({ c: 0.5, r: 0.6, p: 9, v: 20, end_s: 9, sampling_s: 0.02 }),
    );
    expect(estimate.method).toBe('iec-window');
    expect(Math.abs(estimate.capacitance_F! / 0.5 - 1)).toBeLessThan(0.005);
    expect(Math.abs(estimate.esr_Ohm! / 0.6 - 1)).toBeLessThan(0.05);
  });

  it('gives no ESR at 1 Hz but still a capacitance', () => {
    const estimate = estimateCapacitor(
      constantPower({ c: 1.4, r: 0.27, p: 9, v: 20, end_s: 6.6, sampling_s: 1, rest_s: 2 }),
    );
    expect(estimate.esr_Ohm).toBeNull();
    expect(Math.abs(estimate.capacitance_F! / 1.4 - 1)).toBeLessThan(0.05);
  });

  it('gives no ESR where the step from rest was not sampled', () => {
    const estimate = estimateCapacitor(
      constantPower({ c: 1.4, r: 0.27, p: 9, v: 20, end_s: 6.6, sampling_s: 0.02, rest_s: 0 }),
    );
    expect(estimate.esr_Ohm).toBeNull();
    expect(estimate.capacitance_F).not.toBeNull();
  });

  it('states an uncertainty that covers the true value as often as a standard uncertainty should', () => {
    let inside = 0;
    const runs = 200;
    for (let seed = 1; seed <= runs; seed++) {
      const estimate = estimateCapacitor(
        constantPower({ c: 1, r: 0.35, p: 6.5, v: 20, end_s: 6.6, sampling_s: 0.02, noise_V: 0.02, seed }),
      );
      if (Math.abs(estimate.capacitance_F! - 1) < 2 * estimate.capacitanceUncertainty_F!) inside++;
    }
    expect(inside / runs).toBeGreaterThan(0.88);
  });
});

describe('estimateCapacitor and bad or little data', () => {
  const good = { time_s: [0, 1, 2], voltage_V: [3, 2.9, 2.8], current_A: 1, ratedVoltage_V: 3 };

  it('names the argument that is wrong', () => {
    expect(() => estimateCapacitor({ ...good, voltage_V: [3, 2.9] })).toThrow(/voltage_V/);
    expect(() => estimateCapacitor({ ...good, time_s: [0, 0, 1] })).toThrow(/time_s/);
    expect(() => estimateCapacitor({ ...good, current_A: 0 })).toThrow(/current_A/);
    expect(() => estimateCapacitor({ ...good, current_A: [1, NaN, 1] })).toThrow(/current_A/);
    expect(() => estimateCapacitor({ ...good, ratedVoltage_V: -3 })).toThrow(BackupInputError);
  });

  it('says so where there is too little to go on', () => {
    expect(estimateCapacitor({ ...good, time_s: [0, 1], voltage_V: [3, 2] })).toMatchObject({
      capacitance_F: null,
      reason: 'too-few-samples',
    });
    expect(estimateCapacitor({ ...good, voltage_V: [3, 3, 3] })).toMatchObject({
      capacitance_F: null,
      reason: 'no-discharge',
    });
    expect(estimateCapacitor({ ...good, current_A: [0, 0, 0] })).toMatchObject({ capacitance_F: null });
    expect(estimateCapacitor({ ...good, voltage_V: [3, 2.995, 2.99] })).toMatchObject({
      capacitance_F: null,
      reason: 'discharge-too-shallow',
    });
  });
});
