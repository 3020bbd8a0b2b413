import { describe, expect, it } from 'vitest';
import { state } from '../../diagnosis/causes/sample-channels.js';
import { machineOf } from './machine.js';
import { quantityValues, type ChannelValues } from './quantities.js';

const alone = machineOf({ refrigerant: 'R134a' });
const shared = machineOf({ refrigerant: 'R134a', circuits: 2 });
const balance = (machine: typeof alone, change: Partial<ChannelValues> = {}) =>
  quantityValues(machine, { ...state, ...change }).heatBalance_K;

// By the energy balance of the two waters: 418 kW taken, a quarter of it added, 522.5 kW rejected.
describe('the heat balance of the waters', () => {
  it('is closed by the power of a circuit that has them to itself', () => {
    expect(balance(alone)).toBeCloseTo(0, 6);
  });

  it('is, where circuits share them, the share that compressors add, in kelvin of a usual change of 5 K', () => {
    // A fifth of what is rejected, whatever power this circuit takes of it, and however many of them run.
    expect(balance(shared)).toBeCloseTo(5 * 0.2, 6);
    expect(balance(shared, { compressorPower_W: 50_000 })).toBeCloseTo(1, 6);
    expect(
      balance(shared, { enteringWaterTemperature_K: 282.5, condenserLeavingTemperature_K: 302.5 }),
    ).toBeCloseTo(1, 6);
  });

  it('stays where less water is warmed or cooled by more, and not where a meter or a thermometer is off', () => {
    expect(balance(shared, { waterFlow_m3_s: 0.018, enteringWaterTemperature_K: 280 + 5 / 0.9 })).toBeCloseTo(
      1,
      6,
    );
    expect(balance(shared, { waterFlow_m3_s: 0.018 })).toBeCloseTo(5 * (1 - 0.9 * 0.8), 6);
    expect(balance(shared, { leavingWaterTemperature_K: 280.5 })).toBeCloseTo(5 * (1 - 0.9 * 0.8), 6);
    expect(balance(shared, { condenserFlow_m3_s: 0.0225 })).toBeCloseTo(5 * (1 - 0.8 / 0.9), 6);
  });

  it('is none where air cools the condenser', () => {
    expect(
      quantityValues(machineOf({ refrigerant: 'R134a', circuits: 2, condenser: 'air' }), state).heatBalance_K,
    ).toBeNaN();
  });
});
