import { describe, expect, it } from 'vitest';
import { estimateCapacitor } from './estimate-capacitor.js';

/** From 20 V, 2 F behind 0.5 Ohm (or as given), driven from 0 on: samples every `step_s` from `from_s` to `to_s`. */
function driven({
  c = 2,
  r = 0.5,
  from_s = -0.5,
  to_s = 5,
  until_s = Infinity,
  step_s = 0.05,
  current = (_t: number): number => 1,
  beganAt_s = 0,
} = {}) {
  const time_s: number[] = [];
  const voltage_V: number[] = [];
  const current_A: number[] = [];
  let drawn_C = 0;
  for (let k = Math.round(from_s / step_s); k <= Math.round(to_s / step_s); k++) {
    const t = k * step_s;
    const on = t >= beganAt_s && t <= until_s + 1e-9 ? current(t) : 0;
    const before = t - step_s >= beganAt_s ? current(t - step_s) : 0;
    if (t > 0 && t <= until_s + 1e-9)
      drawn_C += (step_s * (before === 0 ? on : on + before)) / (before === 0 ? 1 : 2);
    time_s.push(t);
    current_A.push(on);
    voltage_V.push(20 - r * on - drawn_C / c);
  }
  return { time_s, voltage_V, current_A, ratedVoltage_V: 20 };
}

describe('a drive at 1 A with half a second of rest before it', () => {
  it('gives capacitance, and ESR less the quarter of a spacing by which the drive may have begun earlier', () => {
    // Half of the spacing of 50 ms at 1 A is taken as drawn too much: 0.025 C / 2 F = 12.5 mV, so 0.4875 Ohm.
    const found = estimateCapacitor(driven());
    expect(found.method).toBe('least-squares');
    expect(found.capacitance_F).toBeCloseTo(2, 6);
    expect(found.capacitanceUncertainty_F).toBeLessThan(1e-6);
    expect(found.esr_Ohm).toBeCloseTo(0.4875, 6);
    // The fall in half a spacing is 0.0125 V, uniform: over root 3.
    expect(found.esrUncertainty_Ohm).toBeCloseTo(0.0125 / Math.sqrt(3), 6);
    expect(found.sampling_s).toBeCloseTo(0.05, 9);
    expect(found.meanCurrent_A).toBeCloseTo(1, 9);
    expect(found.reason).toBeNull();
  });

  it('gives no ESR where that is over a tenth of it', () => {
    // At 150 ms 0.0375 V of 0.4625 V; at 200 ms 0.05 V of 0.45 V.
    expect(estimateCapacitor(driven({ step_s: 0.15, from_s: -0.6, to_s: 6 })).esr_Ohm).toBeCloseTo(0.4625, 6);
    const coarse = estimateCapacitor(driven({ step_s: 0.2, from_s: -0.6, to_s: 6 }));
    expect(coarse.esr_Ohm).toBeNull();
    expect(coarse.esrUncertainty_Ohm).toBeNull();
    expect(coarse.capacitance_F).toBeCloseTo(2, 6);
  });

  it('gives nothing under a fall of 1 % of the rated voltage besides the step', () => {
    // 0.5 V/s at 2 F: 0.2 V after 0.4 s.
    expect(estimateCapacitor(driven({ to_s: 0.45 })).capacitance_F).toBeCloseTo(2, 6);
    expect(estimateCapacitor(driven({ to_s: 0.35 }))).toMatchObject({
      capacitance_F: null,
      reason: 'discharge-too-shallow',
      meanCurrent_A: expect.closeTo(1, 9),
    });
  });

  it('needs three samples of drive', () => {
    expect(estimateCapacitor(driven({ to_s: 0.05, c: 0.05 })).reason).toBe('too-few-samples');
    expect(estimateCapacitor(driven({ to_s: 0.1, c: 0.05 })).capacitance_F).toBeCloseTo(0.05, 6);
  });
});

describe('a drive whose record the closing itself set off', () => {
  it('begins right after the one sample at rest, which is known to a quarter of a spacing', () => {
    const found = estimateCapacitor(driven({ from_s: 0, beganAt_s: 0.05 }));
    expect(found.capacitance_F).toBeCloseTo(2, 6);
    expect(found.esr_Ohm).toBeCloseTo(0.5, 6);
    expect(found.esrUncertainty_Ohm).toBeCloseTo(0.00625 / Math.sqrt(3), 6);
  });
});

describe('a drive without rest before it', () => {
  it('has its step at the end, where that was sampled', () => {
    // The spacing after the last driving sample counts half: 0.025 C at 2 F, 12.5 mV more.
    const found = estimateCapacitor(driven({ from_s: 0, to_s: 7, until_s: 5 }));
    expect(found.capacitance_F).toBeCloseTo(2, 6);
    expect(found.esr_Ohm).toBeCloseTo(0.5125, 6);
    expect(found.esrUncertainty_Ohm).toBeCloseTo(0.0125 / Math.sqrt(3), 6);
  });

  it('has none where the record ends with it; leaving ESR out is 1 % of capacitance', () => {
    const found = estimateCapacitor(driven({ from_s: 0, to_s: 5 }));
    expect(found.esr_Ohm).toBeNull();
    expect(found.capacitance_F).toBeCloseTo(2, 6);
    expect(found.capacitanceUncertainty_F).toBeCloseTo(0.02, 6);
  });
});

describe('a drive through the window of the standard', () => {
  it('gives the charge between 80 and 40 % over the voltage', () => {
    // 0.25 F: 16 V after 0.875 s, 8 V after 2.875 s; 50 ms unsure at either end of 2 s.
    const found = estimateCapacitor(driven({ c: 0.25 }));
    expect(found.method).toBe('iec-window');
    expect(found.capacitance_F).toBeCloseTo(0.25, 6);
    expect(found.capacitanceUncertainty_F).toBeCloseTo((0.25 * 0.1 * Math.SQRT2 * 0.05) / 2, 6);
  });

  it('puts back what the ESR no longer takes where the current has fallen meanwhile', () => {
    // 1 A until 1.5 s, then 0.5 A: 0.25 V of the 8 V is that of the ESR; without it 0.258 F.
    const found = estimateCapacitor(
      driven({ c: 0.25, to_s: 6, step_s: 0.01, current: (t) => (t <= 1.5 ? 1 : 0.5) }),
    );
    expect(found.method).toBe('iec-window');
    expect(Math.abs(found.capacitance_F! / 0.25 - 1)).toBeLessThan(0.005);
  });
});

describe('a discharge at a known current', () => {
  /** 20 V, a step of 0.5 V, and 0.5 V/s from there on; a rest before and a recovery after it. */
  const line = (samples: number, { step_s = 0.05, rest = 0, recovers = 0, slope = 0.5 } = {}) => {
    const voltage_V = [
      ...new Array<number>(rest).fill(20),
      20,
      ...Array.from({ length: samples }, (_, i) => 19.5 - slope * step_s * (i + 1)),
      ...new Array<number>(recovers).fill(19.9),
    ];
    return {
      time_s: voltage_V.map((_, i) => step_s * i),
      voltage_V,
      current_A: 1,
      ratedVoltage_V: 20,
    };
  };

  it('gives the slope of its later nine tenths, 1 A over 0.5 V/s, and the step at its beginning', () => {
    for (const around of [{}, { rest: 20 }, { recovers: 20 }]) {
      const found = estimateCapacitor(line(100, around));
      expect(found.method).toBe('least-squares');
      expect(found.capacitance_F).toBeCloseTo(2, 6);
      expect(found.capacitanceUncertainty_F).toBeLessThan(1e-6);
      expect(found.esr_Ohm).toBeCloseTo(0.5, 6);
      // A spacing of 50 ms is 0.05 of R C, uniform: over root 12; and 3 % of what a cubic leaves.
      expect(found.esrUncertainty_Ohm).toBeCloseTo(Math.hypot((0.5 * 0.05) / Math.sqrt(12), 0.015), 6);
      expect(found.meanCurrent_A).toBe(1);
      expect(found.sampling_s).toBeCloseTo(0.05, 9);
    }
  });

  it('gives no ESR where one spacing is over a tenth of R C, nor from under eight samples of the early curve', () => {
    expect(estimateCapacitor(line(100, { step_s: 0.099 })).esr_Ohm).toBeCloseTo(0.5, 6);
    const coarse = estimateCapacitor(line(100, { step_s: 0.101 }));
    expect([coarse.esr_Ohm, coarse.esrUncertainty_Ohm]).toEqual([null, null]);
    expect(coarse.capacitance_F).toBeCloseTo(2, 6);
    expect(estimateCapacitor(line(8)).esr_Ohm).toBeCloseTo(0.5, 6);
    expect(estimateCapacitor(line(7)).esr_Ohm).toBeNull();
  });

  it('is too short with three samples of its later part missing', () => {
    expect(estimateCapacitor(line(3)).capacitance_F).toBeCloseTo(2, 6);
    expect(estimateCapacitor(line(2)).reason).toBe('too-few-samples');
  });

  it('takes the window between 16 and 8 V where it passes both', () => {
    // 4 V/s: 8 V in 2 s at 1 A.
    const found = estimateCapacitor(line(60, { slope: 4 }));
    expect(found.method).toBe('iec-window');
    expect(found.capacitance_F).toBeCloseTo(0.25, 6);
    expect(found.capacitanceUncertainty_F).toBeCloseTo((0.25 * 0.1 * Math.SQRT2 * 0.05) / 2, 6);
  });
});
