import { describe, expect, inject, it } from 'vitest';
import { BackupInputError } from '../errors.js';
import { seededRandom } from '../../numerics/index.js';
import { backupRuntime } from './runtime.js';

/**
 * Classic Runge-Kutta on the charge equation itself, dVc/dt = -P/(C V) with V from Vc = V + P R/V, stepped in
 * fixed fractions of Vc so that the end is met exactly: t = -integral of C V/P dVc.
 */
function integrate(c: number, r: number, p: number, vc: number, vEnd: number): number {
  const terminal = (x: number) => (x + Math.sqrt(Math.max(0, x * x - 4 * p * r))) / 2;
  const vcEnd = vEnd + (p * r) / vEnd;
  // Substitute vc = vcEnd + u^2: the root of the terminal voltage at maximum power is then smooth.
  const uEnd = Math.sqrt(vc - vcEnd);
  const steps = 2000;
  const h = uEnd / steps;
  const f = (u: number) => ((c * terminal(vcEnd + u * u)) / p) * 2 * u;
  let sum = 0;
  for (let i = 0; i < steps; i++) sum += (h / 6) * (f(i * h) + 4 * f((i + 0.5) * h) + f((i + 1) * h));
  return sum;
}

describe('backupRuntime', () => {
  const seed = inject('seed');
  it(`agrees with a numerical integration of the discharge on 1,000 random cases (seed ${seed})`, () => {
    const random = seededRandom(seed);
    let feasible = 0;
    let worst = 0;
    for (let i = 0; i < 1000; i++) {
      const c = 0.2 + 5 * random();
      const r = 2 * random() * random();
      const vc = 2 + 40 * random();
      const vMin = vc * random();
      const p = 0.05 + 30 * random();
      const run = backupRuntime({ capacitance_F: c, esr_Ohm: r, voltage_V: vc, minimumVoltage_V: vMin }, p);
      const vEnd = Math.max(vMin, Math.sqrt(p * r));
      const v0 = (vc + Math.sqrt(vc * vc - 4 * p * r)) / 2;
      if (!(v0 > vEnd)) {
        expect(run).toMatchObject({ time_s: 0, energy_J: 0, feasible: false });
        continue;
      }
      feasible++;
      const expected = integrate(c, r, p, vc, vEnd);
      worst = Math.max(worst, Math.abs(run.time_s - expected) / expected);
      expect(run.feasible).toBe(true);
      expect(run.energy_J).toBe(p * run.time_s);
    }
    expect(feasible).toBeGreaterThan(500);
    expect(worst).toBeLessThan(1e-6);
  });

  it('without ESR delivers exactly the energy between the two voltages', () => {
    const run = backupRuntime({ capacitance_F: 2, esr_Ohm: 0, voltage_V: 10, minimumVoltage_V: 4 }, 7);
    expect(run.energy_J).toBeCloseTo(84, 10);
    expect(
      backupRuntime({ capacitance_F: 2, esr_Ohm: 0, voltage_V: 10, minimumVoltage_V: 0 }, 7).energy_J,
    ).toBeCloseTo(100, 10);
  });

  it('delivers nothing under its minimum voltage', () => {
    expect(
      backupRuntime({ capacitance_F: 1, esr_Ohm: 0.1, voltage_V: 8, minimumVoltage_V: 9 }, 5),
    ).toMatchObject({ time_s: 0, feasible: false });
  });

  it('ends at the minimum voltage, or where the source is at its most: at root(P R), 4 V for 16 W and 1 Ohm', () => {
    const at = (voltage_V: number, minimumVoltage_V: number) =>
      backupRuntime({ capacitance_F: 1, esr_Ohm: 1, voltage_V, minimumVoltage_V }, 16);
    expect(at(10, 4)).toMatchObject({ feasible: true, endedBy: 'minimum-voltage' });
    expect(at(10, 3.99)).toMatchObject({ feasible: true, endedBy: 'source-power' });
    // Vc^2 = 4 P R at 8 V: the source is at its most from the beginning, and under that it never gives 16 W.
    expect(at(8, 0)).toEqual({ time_s: 0, energy_J: 0, feasible: false, endedBy: 'source-power' });
    expect(at(8.01, 0).feasible).toBe(true);
    expect(at(7.99, 6)).toEqual({ time_s: 0, energy_J: 0, feasible: false, endedBy: 'source-power' });
    expect(at(9, 8)).toEqual({ time_s: 0, energy_J: 0, feasible: false, endedBy: 'minimum-voltage' });
  });

  it('refuses a wrong argument by its name', () => {
    const cell = { capacitance_F: 1, esr_Ohm: 0.1, voltage_V: 8, minimumVoltage_V: 4 };
    expect(() => backupRuntime({ ...cell, capacitance_F: 0 }, 5)).toThrow(/cell\.capacitance_F/);
    expect(() => backupRuntime({ ...cell, esr_Ohm: -1 }, 5)).toThrow(/cell\.esr_Ohm/);
    expect(() => backupRuntime(cell, NaN)).toThrow(BackupInputError);
    expect(() => backupRuntime(cell, 0)).toThrow(/load_W/);
  });
});
