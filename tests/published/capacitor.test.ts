import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { backupRuntime, estimateCapacitor } from '@coldrounds/core';

/**
 * PUBLISHED data set: 25 F and 50 F cells discharged after IEC 62391-1, CC BY 4.0, doi 10.1109/OJIA.2026.3675690.
 * dU3 is published; capacitance and time were computed from the curves with the formula of IEC 62391-1 (MEMORY).
 */
const cells = [
  { file: 'cell-1.csv', current_A: 3, window_s: 10.333, c_F: 25.832, dU3_V: 0.056206, esr_Ohm: 0.01874 },
  { file: 'cell-2.csv', current_A: 1.5, window_s: 21.797, c_F: 27.246, dU3_V: 0.033136, esr_Ohm: 0.02209 },
  { file: 'cell-3.csv', current_A: 0.3, window_s: 108.477, c_F: 27.119, dU3_V: 0.008453, esr_Ohm: 0.02818 },
  { file: 'cell-4.csv', current_A: 3.409, window_s: 18.495, c_F: 52.542, dU3_V: 0.059718, esr_Ohm: 0.01752 },
];

// The data set lies beside the repository, not in it.
const folder = fileURLToPath(new URL('../../../shared/reference/edlc/', import.meta.url));
const present = existsSync(folder);

function read(file: string) {
  const rows = readFileSync(folder + file, 'utf8')
    .split('\n')
    .filter((line) => /^[0-9]/.test(line))
    .map((line) => line.split(',').map(Number));
  return { time_s: rows.map((row) => row[0]!), voltage_V: rows.map((row) => row[1]!) };
}

function everySecond({ time_s, voltage_V }: ReturnType<typeof read>) {
  const kept = time_s.map((t, i) => [t, i] as const).filter(([t]) => Math.abs(t - Math.round(t)) < 1e-9);
  return { time_s: kept.map(([t]) => t), voltage_V: kept.map(([, i]) => voltage_V[i]!) };
}

const off = (value: number, expected: number) => Math.abs(value / expected - 1);

describe.skipIf(!present)(
  `published discharge curves${present ? '' : ' (skipped: ../shared/reference/edlc is not beside the repository)'}`,
  () => {
    for (const cell of cells) {
      it(`${cell.file} at 10 ms gives capacitance within 1 %${cell.current_A >= 1.5 ? ' and ESR within 10 %' : ''}`, () => {
        const estimate = estimateCapacitor({
          ...read(cell.file),
          current_A: cell.current_A,
          ratedVoltage_V: 3,
        });
        expect(estimate.method).toBe('iec-window');
        expect(off(estimate.capacitance_F!, cell.c_F)).toBeLessThan(0.01);
        if (cell.current_A >= 1.5) expect(off(estimate.esr_Ohm!, cell.esr_Ohm)).toBeLessThan(0.1);
        console.log(
          `${cell.file}: C ${estimate.capacitance_F!.toFixed(3)} F (${cell.c_F}), ESR ${((estimate.esr_Ohm ?? NaN) * 1e3).toFixed(2)} +- ${((estimate.esrUncertainty_Ohm ?? NaN) * 1e3).toFixed(2)} mOhm (${cell.esr_Ohm * 1e3})`,
        );
      });

      it(`${cell.file} at 1 Hz gives capacitance within 2 % and no ESR`, () => {
        const estimate = estimateCapacitor({
          ...everySecond(read(cell.file)),
          current_A: cell.current_A,
          ratedVoltage_V: 3,
        });
        expect(off(estimate.capacitance_F!, cell.c_F)).toBeLessThan(0.02);
        expect(estimate.esr_Ohm).toBeNull();
      });

      it(`${cell.file} with the current as a column gives the same capacitance within 1 %`, () => {
        const curve = read(cell.file);
        const estimate = estimateCapacitor({
          ...curve,
          current_A: curve.time_s.map(() => cell.current_A),
          ratedVoltage_V: 3,
        });
        expect(off(estimate.capacitance_F!, cell.c_F)).toBeLessThan(0.01);
      });
    }
  },
);

describe('the figures published with the curves', () => {
  for (const cell of cells) {
    it(`${cell.file}: a curve through the published time and step gives the published capacitance and ESR`, () => {
      // Straight curve from 3 V through the published figures: start lowered by dU3, then I/C.
      const slope = (0.4 * 3) / cell.window_s;
      const time_s = Array.from({ length: Math.ceil((3 / slope) * 100) }, (_, i) => i / 100);
      const voltage_V = time_s.map((t) => (t === 0 ? 3 : 3 - cell.dU3_V - slope * t)).filter((v) => v > 0);
      time_s.length = voltage_V.length;
      const estimate = estimateCapacitor({ time_s, voltage_V, current_A: cell.current_A, ratedVoltage_V: 3 });
      expect(off(estimate.capacitance_F!, cell.c_F)).toBeLessThan(1e-4);
      expect(off(estimate.esr_Ohm!, cell.esr_Ohm)).toBeLessThan(1e-3);
    });
  }
});

describe('the closed form of constant power', () => {
  // COMPUTED: closed form, confirmed against the differential equation to 5 decimals.
  const table = [
    { c: 1, r: 0.5, p: 8, vc: 20, vmin: 9, time_s: 19.04077, energy_J: 152.326 },
    { c: 0.7, r: 1, p: 8, vc: 20, vmin: 9, time_s: 12.70444, energy_J: 101.636 },
    { c: 2, r: 0.3, p: 6, vc: 16, vmin: 8, time_s: 30.98624, energy_J: 185.917 },
    { c: 1.4, r: 1.5, p: 0.165, vc: 2, vmin: 1, time_s: 9.24113, energy_J: 1.5248 },
  ];
  for (const row of table) {
    it(`runs ${row.time_s} s at ${row.p} W from ${row.c} F, ${row.r} Ohm, ${row.vc} V down to ${row.vmin} V`, () => {
      const run = backupRuntime(
        { capacitance_F: row.c, esr_Ohm: row.r, voltage_V: row.vc, minimumVoltage_V: row.vmin },
        row.p,
      );
      expect(run.feasible).toBe(true);
      expect(run.time_s).toBeCloseTo(row.time_s, 5);
      expect(run.energy_J).toBeCloseTo(row.energy_J, row.energy_J < 10 ? 4 : 3);
    });
  }

  it('cannot start where the open voltage squared is under four times power times ESR', () => {
    const cell = { capacitance_F: 1, esr_Ohm: 1, voltage_V: 5.9999, minimumVoltage_V: 1 };
    expect(backupRuntime(cell, 9)).toEqual({
      time_s: 0,
      energy_J: 0,
      feasible: false,
      endedBy: 'source-power',
    });
    expect(backupRuntime({ ...cell, voltage_V: 6.0001 }, 9).feasible).toBe(true);
  });
});
