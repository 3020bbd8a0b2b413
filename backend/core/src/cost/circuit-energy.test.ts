import { describe, expect, it } from 'vitest';
import { saturated } from '../diagnosis/causes/sample-channels.js';
import type { Finding } from '../diagnosis/finding.js';
import { quantity, statement } from '../diagnosis/statement.js';
import { slicesOfWindows } from '../diagnosis/unit/circuit-findings-of.js';
import { runningCircuit } from '../diagnosis/unit/sample-running.js';
import { learnFrom } from '../diagnosis/unit/normal/unit-normal.js';
import { departuresOf } from '../normal/departures/departures.js';
import { plateausOf, plateausOfWindow } from '../normal/plateaus/window-plateaus.js';
import { machineOf } from '../normal/quantities/machine.js';
import type { CircuitSeries } from '../telemetry/circuit-series.js';
import { circuitEnergy, differencesFromNormal } from './circuit-energy.js';

type Change = (series: CircuitSeries, i: number) => void;

const machine = machineOf({ refrigerant: 'R134a', condenser: 'water' });
const nothing: Change = () => undefined;

/** Three days of normal running, then a day on which `change` is at work; `always` is all along. */
function record(change: Change, always: Change = nothing) {
  const windows = slicesOfWindows(
    runningCircuit(96, (series, i, hour) => {
      always(series, i);
      if (hour >= 72) change(series, i);
    }),
  ).map(({ start_s, slice }) => plateausOfWindow(slice, 'R134a', start_s));
  const { normal } = learnFrom(machine, {
    tolerance: 0,
    plateaus: plateausOf(windows.slice(0, 36), 0),
    stops: [],
  })!;
  const plateaus = plateausOf(windows.slice(36), 0);
  const over = plateaus.map((plateau) => departuresOf(machine, normal, plateau));
  return { plateaus, departure: { normal, over } };
}

/** Condensing so much higher at the same water, subcooling as it was. */
const condenses =
  (by_K: number): Change =>
  (series, i) => {
    series.dischargePressure_Pa[i] = saturated(series.liquidTemperature_K[i] + 5 + by_K);
    series.liquidTemperature_K[i] += by_K;
  };

const evaporates =
  (by_K: number): Change =>
  (series, i) => {
    const evaporating = series.suctionTemperature_K[i] - 6 - by_K;
    series.suctionPressure_Pa[i] = saturated(evaporating);
    series.suctionTemperature_K[i] -= by_K;
  };

const without =
  (...names: (keyof CircuitSeries)[]): Change =>
  (series, i) => {
    for (const name of names) series[name][i] = NaN;
  };

const headroomFinding = (headroom_K: number, uncertainty_K: number, held_K: number) =>
  ({
    condition: 'headroom',
    headline: statement('Superheat could be {headroom} lower: it is held at {held}.', {
      headroom: quantity('temperature-difference', headroom_K, uncertainty_K),
      held: quantity('temperature-difference', held_K),
    }),
  }) as Finding;

const base = { machine, running_h_week: 100, headroom: null, ratedCapacity_W: null };

describe('energy that a circuit gives away', () => {
  it('by condensing 2 K higher than normal is a share of the measured power', () => {
    const energy = circuitEnergy({ ...base, ...record(condenses(2)) })!;
    expect(energy.conditions).toEqual(['departs-from-normal']);
    expect(energy.condensingGained_K!.value).toBeCloseTo(2, 1);
    expect(energy.evaporatingLost_K).toBeNull();
    // COMPUTED, CoolProp 8.0.0, R134a at the sample's mean state (evaporating 277.9 K, condensing 307.6 K instead of 305.6 K,
    // 6 K of superheat, 5 K of subcooling): 0.0773.
    expect(energy.share!.value / 0.0773).toBeCloseTo(1, 1);
    expect(energy.powerFrom).toBe('measured');
    // The sample's power is 100 kW times its load, 70 % on average.
    expect(energy.power_W!.value / 70_000).toBeCloseTo(1, 1);
    expect(energy.energy_J_week!.value).toBeCloseTo(
      energy.share!.value * energy.power_W!.value * 100 * 3600,
      -3,
    );
    expect(energy.energy_J_week!.uncertainty / energy.energy_J_week!.value).toBeGreaterThan(0.15);
    expect(energy.missing).toBeNull();
  });

  it('by evaporating 2 K lower than normal likewise', () => {
    const energy = circuitEnergy({ ...base, ...record(evaporates(2)) })!;
    expect(energy.evaporatingLost_K!.value).toBeCloseTo(2, 1);
    expect(energy.evaporatingFrom).toBe('departure');
    // COMPUTED, CoolProp 8.0.0, as above, evaporating at 275.9 K instead of 277.9 K: 0.0816.
    expect(energy.share!.value / 0.0816).toBeCloseTo(1, 1);
  });

  it('is counted net: what got better against what got worse', () => {
    const both = circuitEnergy({
      ...base,
      ...record((series, i) => {
        condenses(-2)(series, i);
        evaporates(2)(series, i);
      }),
    })!;
    expect(both.condensingGained_K!.value).toBeCloseTo(-2, 1);
    expect(Math.abs(both.share!.value)).toBeLessThan(0.03);
    expect(both.energy_J_week === null || both.energy_J_week.value > 0).toBe(true);
  });

  it('counts condensing higher only at full fans: those held back hold the condensing temperature themselves', () => {
    const { plateaus, departure } = record(condenses(2), without('condenserLeavingTemperature_K'));
    const gained = (fans_pct: (k: number) => number, condenser: 'air' | 'water' = 'air') =>
      differencesFromNormal(
        { condenser },
        {
          ...departure,
          over: departure.over.map((one, k) => ({
            ...one,
            at: { ...one.at, condenserFanSpeed_pct: fans_pct(k) },
          })),
        },
      ).condensingGained_K;
    expect(gained(() => 100)!.value).toBeCloseTo(2, 1);
    expect(gained(() => 60)).toBeNull();
    // Fans of a cooling tower hold the water's temperature, which condensing is compared at.
    expect(gained(() => 60, 'water')!.value).toBeCloseTo(2, 1);
    const long_s = plateaus.map(({ from_s, to_s }) => to_s - from_s);
    const half = Math.floor(plateaus.length / 2);
    const total = (lengths: number[]) => lengths.reduce((sum, length) => sum + length, 0);
    expect(gained((k) => (k < half ? 60 : 100))!.value).toBeCloseTo(
      (2 * total(long_s.slice(half))) / total(long_s),
      1,
    );
  });

  it('is no loss where the circuit surely takes less than before, and that is said', () => {
    const energy = circuitEnergy({ ...base, ...record(condenses(-2)) })!;
    expect(energy.share!.value).toBeLessThan(-2 * energy.share!.uncertainty);
    expect(energy.energy_J_week).toBeNull();
    expect(energy.missing!.text).toMatch(/takes less energy than it did before/);
  });

  it('is not told where the temperatures are as they were', () => {
    const energy = circuitEnergy({ ...base, ...record(nothing) })!;
    expect(energy.share).toBeNull();
    expect(energy.energy_J_week).toBeNull();
    expect(energy.missing!.text).toMatch(/no energy is claimed/);
  });

  it('comes from the heat of the water where no power is sent', () => {
    const energy = circuitEnergy({ ...base, ...record(condenses(2), without('compressorPower_W')) })!;
    expect(energy.powerFrom).toBe('water-heat');
    // COMPUTED, CoolProp 8.0.0: 0.02 m3/s cooled by 3.5 K are 293 kW; times (h2 - h1)/(h1 - h3) of the sample's mean
    // states, discharge 13 K over condensing: 42.2 kW.
    expect(energy.power_W!.value / 1000 / 42.24).toBeCloseTo(1, 1);
  });

  it('comes from rated capacity and load where the water is not measured, known to a quarter at best', () => {
    const bare = record(condenses(2), without('compressorPower_W', 'waterFlow_m3_s'));
    const energy = circuitEnergy({ ...base, ...bare, ratedCapacity_W: 500_000 })!;
    expect(energy.powerFrom).toBe('rated-capacity');
    expect(energy.power_W!.uncertainty / energy.power_W!.value).toBeGreaterThan(0.24);
    const silent = circuitEnergy({ ...base, ...bare })!;
    expect(silent.share).not.toBeNull();
    expect(silent.energy_J_week).toBeNull();
    expect(silent.missing!.text).toMatch(/compressor power/);
  });

  it('is not told without pressures, and nothing is said where nothing was found', () => {
    const { departure } = record(condenses(2));
    const blind = record(nothing, without('dischargePressure_Pa'));
    const energy = circuitEnergy({ ...base, plateaus: blind.plateaus, departure })!;
    expect(energy.energy_J_week).toBeNull();
    expect(energy.missing!.text).toMatch(/suction and discharge pressure/);
    expect(circuitEnergy({ ...base, plateaus: blind.plateaus, departure: null })).toBeNull();
  });

  it('by superheat that could be lower follows from the water temperatures, and says what it assumes', () => {
    const { plateaus } = record(nothing);
    const told = circuitEnergy({
      ...{ ...base, plateaus, departure: null },
      headroom: headroomFinding(1.5, 0.2, 4),
    })!;
    expect(told.conditions).toEqual(['headroom']);
    expect(told.evaporatingFrom).toBe('superheat');
    expect(told.evaporatingLost_K!.value).toBeGreaterThan(0);
    expect(told.assumptions.map(({ text }) => text).join(' ')).toMatch(/counterflow/);
    const dry = record(nothing, without('enteringWaterTemperature_K', 'leavingWaterTemperature_K'));
    const silent = circuitEnergy({
      ...{ ...base, plateaus: dry.plateaus, departure: null },
      headroom: headroomFinding(1.5, 0.2, 4),
    })!;
    expect(silent.energy_J_week).toBeNull();
    expect(silent.missing!.text).toMatch(/chilled water/);
  });
});
