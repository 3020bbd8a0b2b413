import { describe, expect, it } from 'vitest';
import { saturationTemperature } from '@coldrounds/core/refrigerants';
import type { Fault } from './faults/fault.js';
import { simulateCircuit, type SimulatedCircuit } from './simulate-circuit.js';

const running = { days: 0.5, stand: null } as const;

/** Median over half-hours of steady running of the spread of superheat, K. */
function typicalSpread({ series, truth }: SimulatedCircuit): number {
  const spreads: number[] = [];
  for (let from = 360; from + 180 <= series.time_s.length; from += 180) {
    const values: number[] = [];
    for (let i = from; i < from + 180; i++) {
      values.push(
        series.suctionTemperature_K[i] -
          saturationTemperature(truth.refrigerant, series.suctionPressure_Pa[i], 'dew'),
      );
    }
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    spreads.push(Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length));
  }
  return spreads.sort((a, b) => a - b)[Math.floor(spreads.length / 2)];
}

describe('simulated circuits', () => {
  it('are the same for the same seed and differ for another', () => {
    const one = simulateCircuit({ seed: 11, days: 0.2 });
    const again = simulateCircuit({ seed: 11, days: 0.2 });
    const other = simulateCircuit({ seed: 12, days: 0.2 });
    expect(again.series.suctionPressure_Pa).toEqual(one.series.suctionPressure_Pa);
    expect(again.series.valveOpening_pct).toEqual(one.series.valveOpening_pct);
    expect(other.series.suctionPressure_Pa).not.toEqual(one.series.suctionPressure_Pa);
  });

  it.each(['R134a', 'R1234ze(E)', 'R513A', 'R32', 'R410A', 'R454B', 'R407C', 'R290', 'R515B'])(
    'stay steady when healthy with %s, the valve between 20 and 85 percent open',
    (refrigerant) => {
      const seed = 100 + refrigerant.length;
      const result = simulateCircuit({ seed, ...running, refrigerant, condenser: 'air', capacity_W: 120e3 });
      expect(typicalSpread(result), `seed ${seed}`).toBeLessThan(0.7);
      const opening = [...result.series.valveOpening_pct].sort((a, b) => a - b);
      expect(opening[Math.floor(opening.length * 0.1)]).toBeGreaterThan(20);
      expect(opening[Math.floor(opening.length * 0.9)]).toBeLessThan(85);
    },
  );

  it.each(['R134a', 'R410A', 'R454B', 'R407C'])(
    'leave the condenser subcooled by 3 to 7 K when healthy with %s, of air or water',
    (refrigerant) => {
      // Common practice, no source: condensers are charged for about 5 K of subcooling at full load.
      const load = { base: 0.95, occupied: 0, spread: 0.02, perTenKelvin: 0 };
      for (const condenser of ['air', 'water'] as const) {
        const { series } = simulateCircuit({ seed: 51, ...running, refrigerant, condenser, load });
        const subcooling = Array.from(
          series.liquidTemperature_K,
          (liquid_K, i) =>
            saturationTemperature(refrigerant, series.dischargePressure_Pa[i], 'bubble') - liquid_K,
        ).sort((a, b) => a - b);
        const median = subcooling[subcooling.length >> 1];
        expect(median, condenser).toBeGreaterThan(3);
        expect(median, condenser).toBeLessThan(7);
      }
    },
  );

  const restless: [string, Fault][] = [
    ['the loop is tuned too hard', { kind: 'loop-tuned-too-hard' }],
    ['the valve is far too large', { kind: 'valve-too-large' }],
    ['the valve sticks', { kind: 'valve-friction' }],
    ['the water swings first', { kind: 'load-swing', amplitude_K: 2.5 }],
    ['two circuits disturb each other', { kind: 'circuits-disturbing' }],
    ['the setpoint lies under the steady floor', { kind: 'setpoint', setpoint_K: 2.6 }],
    ['the measurement is noisy', { kind: 'measurement-noise' }],
  ];
  it.each(restless)('are restless when %s', (_, fault) => {
    const seeds = [21, 22, 23];
    const load = { base: 0.85, occupied: 0, spread: 0.02, perTenKelvin: 0 };
    for (const seed of seeds) {
      const sick = typicalSpread(simulateCircuit({ seed, ...running, load, faults: [fault] }));
      const healthy = typicalSpread(simulateCircuit({ seed, ...running, load }));
      expect(sick, `seed ${seed}`).toBeGreaterThan(1.7 * healthy);
      expect(sick, `seed ${seed}`).toBeGreaterThan(0.6);
    }
  });

  it('swing by their exchange of heat where two circuits disturb each other, and not without it', () => {
    const load = { base: 0.85, occupied: 0, spread: 0.02, perTenKelvin: 0 };
    const spread = (exchange: number) =>
      typicalSpread(
        simulateCircuit({ seed: 31, ...running, load, faults: [{ kind: 'circuits-disturbing', exchange }] }),
      );
    expect(spread(6)).toBeGreaterThan(2 * spread(0.001));
  });

  it('have water that stays water at full load, however hard two of them disturb each other', () => {
    const load = { base: 1, occupied: 0, spread: 0.02, perTenKelvin: 0 };
    for (const seed of [51, 52]) {
      const { series } = simulateCircuit({
        seed,
        ...running,
        days: 2,
        load,
        faults: [{ kind: 'circuits-disturbing', gain: 2.9, exchange: 9 }],
      });
      // Between freezing and the 25 °C that the building holds at most.
      const { enteringWaterTemperature_K: entering, leavingWaterTemperature_K: leaving } = series;
      expect(Math.min(...entering, ...leaving), `seed ${seed}`).toBeGreaterThan(273.15);
      expect(Math.max(...entering, ...leaving), `seed ${seed}`).toBeLessThan(298.5);
    }
  });

  it('open the valve further when refrigerant is missing, and starve when much is', () => {
    const mean = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0) / values.length;
    const run = (share: number) =>
      simulateCircuit({ seed: 41, ...running, faults: [{ kind: 'undercharge', share }] });
    const full = run(0);
    const short = run(0.2);
    const starved = run(0.35);
    expect(mean(short.series.valveOpening_pct)).toBeGreaterThan(mean(full.series.valveOpening_pct) + 5);
    expect(mean(starved.truth.superheat_K)).toBeGreaterThan(mean(full.truth.superheat_K) + 3);
    expect(mean(short.series.liquidTemperature_K)).toBeGreaterThan(mean(full.series.liquidTemperature_K));
  });

  it('show a bias of a sensor that the controller follows: the true superheat moves by as much', () => {
    const bias = 2;
    const mean = (values: Float64Array) =>
      values.slice(720).reduce((sum, value) => sum + value, 0) / (values.length - 720);
    const biased = simulateCircuit({
      seed: 51,
      ...running,
      faults: [{ kind: 'sensor-bias', sensor: 'suction-temperature', bias }],
    });
    const healthy = simulateCircuit({ seed: 51, ...running });
    expect(mean(healthy.truth.superheat_K) - mean(biased.truth.superheat_K)).toBeCloseTo(bias, 0);
  });

  it('come to the temperatures around them when they stand', () => {
    const { series } = simulateCircuit({ seed: 61, days: 1 });
    const fiveHours = 5 * 360;
    const dew_K = saturationTemperature('R134a', series.suctionPressure_Pa[fiveHours], 'dew');
    expect(series.compressorLoad_pct[fiveHours]).toBe(0);
    expect(Math.abs(dew_K - series.ambientTemperature_K[fiveHours])).toBeLessThan(1);
    expect(Math.abs(series.suctionTemperature_K[fiveHours] - dew_K)).toBeLessThan(1);
  });

  it('flood back at the restart after a power loss with the valve left open', () => {
    const start_s = Date.UTC(2026, 5, 1) / 1000;
    const loss = { start_s: start_s + 10 * 3600, end_s: start_s + 10 * 3600 + 1800 };
    const run = (left_pct: number) =>
      simulateCircuit({
        seed: 71,
        days: 0.6,
        stand: null,
        powerLosses: [loss],
        closeOnStore: () => left_pct,
      });
    const carried = ({ truth }: SimulatedCircuit) =>
      truth.liquidCarry_kg_s.reduce((sum, value) => sum + value, 0);
    expect(carried(run(40))).toBeGreaterThan(carried(run(0)) + 0.01);
  });
});
