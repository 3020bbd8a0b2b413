import { describe, expect, it } from 'vitest';
import { slicesOfWindows } from '../diagnosis/unit/circuit-findings-of.js';
import { runningCircuit } from '../diagnosis/unit/sample-running.js';
import { saturated } from '../diagnosis/causes/sample-channels.js';
import { learnFrom } from '../diagnosis/unit/normal/unit-normal.js';
import { plateausOf, plateausOfWindow } from '../normal/plateaus/window-plateaus.js';
import { machineOf } from '../normal/quantities/machine.js';
import { savedEnergy, savedInWindows, savedPower } from './saved-since.js';

describe('power saved', () => {
  it('is what the same cooling would have taken, less what it takes', () => {
    // By hand: with 10 % given away, 20 kW do what took 20/0.9 = 22.2 kW.
    expect(savedPower(20_000, 0.1, 0)).toBeCloseTo(20_000 / 0.9 - 20_000, 6);
    expect(savedPower(20_000, 0.1, 0.1)).toBeCloseTo(0, 9);
    expect(savedPower(20_000, 0, 0.1)).toBeLessThan(0);
  });

  it('is energy over its hours, with the uncertainty of both shares and of the power', () => {
    const sure = { value: 0, uncertainty: 0 };
    const saved = savedEnergy({ value: 10_000, uncertainty: 500 }, { value: 0.2, uncertainty: 0 }, sure, 2);
    // By hand: 10 kW (1/0.8 - 1) 2 h = 5 kWh; 5 % of it from the power.
    expect(saved.value / 3.6e6).toBeCloseTo(5, 9);
    expect(saved.uncertainty / 3.6e6).toBeCloseTo(0.25, 9);
    const unsure = savedEnergy(
      { value: 10_000, uncertainty: 0 },
      { value: 0.2, uncertainty: 0.01 },
      { value: 0, uncertainty: 0.01 },
      2,
    );
    // By hand: 20 kWh times sqrt((0.01/0.64)^2 + (0.01/0.8)^2).
    expect(unsure.uncertainty / 3.6e6).toBeCloseTo(20 * Math.hypot(0.01 / 0.64, 0.01 / 0.8), 6);
  });
});

describe('savings after a visit', () => {
  const machine = machineOf({ refrigerant: 'R134a', condenser: 'water' });
  /** Condenses 3 K higher from hour 72 on until it is put right at hour 96. */
  const windows = slicesOfWindows(
    runningCircuit(120, (series, i, hour) => {
      if (hour < 72 || hour >= 96) return;
      series.dischargePressure_Pa[i] = saturated(series.liquidTemperature_K[i] + 8);
      series.liquidTemperature_K[i] += 3;
    }),
  ).map(({ start_s, slice }) => plateausOfWindow(slice, 'R134a', start_s));
  const hours = (from: number, to: number) => windows.slice(from / 2, to / 2);
  const learned = learnFrom(machine, { tolerance: 0, plateaus: plateausOf(hours(0, 72), 0), stops: [] })!;
  const before = { value: 0.08, uncertainty: 0.01 };

  it('are measured where it runs as it did before the fault', () => {
    const saved = savedInWindows(machine, learned, before, hours(96, 120), null)!;
    expect(saved.running_h).toBeCloseTo(24, 1);
    // By hand: 70 kW on average for a day, 8 % of it given away before: 70 24 (1/0.92 - 1) = 146 kWh.
    expect(saved.energy_J.value / 3.6e6 / 146).toBeCloseTo(1, 1);
    expect(saved.energy_J.value).toBeGreaterThan(2 * saved.energy_J.uncertainty);
  });

  it('are none where nothing was put right', () => {
    const during = savedInWindows(machine, learned, { value: 0, uncertainty: 0 }, hours(72, 96), null)!;
    // What still departs counts against it.
    expect(during.energy_J.value).toBeLessThan(0);
  });

  it('are not told without steady running', () => {
    expect(savedInWindows(machine, learned, before, [], null)).toBeNull();
  });
});
