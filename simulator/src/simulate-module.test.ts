import { describe, expect, it } from 'vitest';
import { deliverable_J, discharge } from './physics/module/capacitor.js';
import { dischargeAtCurrent, simulateModule } from './simulate-module.js';

describe('capacitor', () => {
  // Computed, closed form at constant power: C, R, P, V, Vmin, time, energy.
  it.each([
    [1, 0.5, 8, 20, 9, 19.04077, 152.326],
    [0.7, 1, 8, 20, 9, 12.70444, 101.636],
    [2, 0.3, 6, 16, 8, 30.98624, 185.917],
    [1.4, 1.5, 0.165, 2, 1, 9.24113, 1.5248],
  ])(
    '%d F with %d Ohm gives %d W from %d V down to %d V for %d s',
    (c, r, power_W, from_V, least_V, time_s, energy_J) => {
      const cell = { capacitance_F: c, esr_Ohm: r };
      expect(deliverable_J(cell, from_V, least_V, power_W) / energy_J).toBeCloseTo(1, 4);
      let inner_V = from_V;
      let steps = 0;
      const step_s = 0.001;
      const terminal = () => (inner_V + Math.sqrt(Math.max(0, inner_V * inner_V - 4 * power_W * r))) / 2;
      while (terminal() > Math.max(least_V, Math.sqrt(power_W * r)) + 1e-9 && steps < 1e6) {
        inner_V = discharge(inner_V, cell, { power_W }, step_s);
        if (Number.isNaN(inner_V)) break;
        steps++;
      }
      expect(Math.abs(steps * step_s - time_s)).toBeLessThan(0.01);
    },
  );

  it('discharges at 0.5 A from 20 to 9 V in 21.5 s with 1 F and 0.5 Ohm', () => {
    // Closed form, constant current.
    const curve = dischargeAtCurrent(
      { capacitance_F: 1, esr_Ohm: 0.5 },
      { voltage_V: 20, current_A: 0.5, until_V: 9, sample_s: 0.01 },
    );
    expect(curve.time_s[curve.time_s.length - 1]).toBeCloseTo(21.5, 1);
  });
});

describe('simulated modules', () => {
  it('test themselves each day and drive the valve from open to shut in about 6 s', () => {
    const module = simulateModule({ seed: 1, days: 30 });
    expect(module.closings).toHaveLength(30);
    for (const closing of module.closings) {
      const shut = closing.valveOpening_pct.findIndex((opening) => opening === 0);
      expect(closing.valveOpening_pct[0]).toBe(100);
      expect(closing.time_s[shut]).toBeGreaterThan(5.5);
      expect(closing.time_s[shut]).toBeLessThan(6.5);
      expect(closing.left_pct).toEqual([0]);
    }
  });

  it('leave the valve open when the store is too small', () => {
    const { closings, truth } = simulateModule({ seed: 2, days: 3, usedLifeAtStart: 4.2 });
    expect(truth.reserve[0]).toBeLessThan(1);
    expect(closings[0].left_pct[0]).toBeGreaterThan(0);
  });

  it('lose capacitance at once by a sudden loss, and faster when they age fast', () => {
    const sudden = simulateModule({
      seed: 3,
      days: 60,
      faults: [{ kind: 'sudden-loss', share: 0.4, sinceDaysAgo: 20 }],
    });
    const { capacitance_F } = sudden.truth;
    expect(capacitance_F[45] / capacitance_F[35]).toBeCloseTo(0.6, 2);
    const lost = (life_years: number) => {
      const { truth } = simulateModule({ seed: 4, days: 200, life_years });
      return 1 - truth.capacitance_F[199] / truth.capacitance_F[0];
    };
    expect(lost(2)).toBeGreaterThan(5 * lost(14));
  });

  it('age twice as fast 10 K warmer', () => {
    // Common practice, no source: life doubles per 10 K lower.
    const lost = (mean_K: number) => {
      const { truth } = simulateModule({
        seed: 5,
        days: 365,
        usedLifeAtStart: 0,
        temperature: { mean_K, yearSwing_K: 0, daySwing_K: 0 },
      });
      return truth.capacitance_F[0] - truth.capacitance_F[truth.capacitance_F.length - 1];
    };
    expect(lost(308.15) / lost(298.15)).toBeCloseTo(2, 1);
  });

  it('are the same for the same seed', () => {
    const one = simulateModule({ seed: 6, days: 5 });
    expect(simulateModule({ seed: 6, days: 5 }).closings[3].voltage_V).toEqual(one.closings[3].voltage_V);
  });

  it('open the health contact after each test, unless it is stuck', () => {
    const opened = (faults: Parameters<typeof simulateModule>[0]['faults']) =>
      simulateModule({ seed: 7, days: 5, backupDays: 2, faults }).backup.filter(
        ({ reading }) => reading.health === 0,
      ).length;
    expect(opened([])).toBeGreaterThanOrEqual(2);
    expect(opened([{ kind: 'health-contact-stuck' }])).toBe(0);
  });
});
