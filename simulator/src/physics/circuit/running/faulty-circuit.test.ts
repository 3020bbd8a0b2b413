import { describe, expect, it } from 'vitest';
import { saturationTemperature } from '@coldrounds/core/refrigerants';
import { healthyEffects, type CircuitEffects } from '../../../faults/effects.js';
import { newCircuit } from '../circuit-state.js';
import { defaultDesign, physicsOf, waterHeat_J_m3K } from '../design.js';
import { highSide_Pa } from '../high-side.js';
import { startCircuit } from '../start-and-stop.js';
import { advanceRunning } from './running-circuit.js';

interface Settled {
  evaporating_K: number;
  /** What the pressure of the high side says, dew and bubble point. */
  condensing_K: number;
  subcooling_K: number;
  discharge_K: number;
  coolantRise_K: number;
  leavingCoolant_K: number;
  waterDifference_K: number;
  heat_W: number;
  power_W: number;
  opening_pct: number;
  superheat_K: number;
  rejected_W: number;
  carriedOff_W: number;
}

/** Means over half an hour of a circuit that ran for one and a half at the same load, with effects of faults. */
function settled(
  changed: Partial<CircuitEffects> = {},
  { load = 0.75, refrigerant = 'R134a', condenser = 'water' as 'air' | 'water', motors = 1 as 1 | 2 } = {},
): Settled {
  const sized = physicsOf(defaultDesign({ refrigerant, capacity_W: 350e3, condenser, kv_m3_h: 8, motors }));
  const kv_m3_h = (8 * sized.nominalOpening_pct) / 65;
  const physics = physicsOf(defaultDesign({ refrigerant, capacity_W: 350e3, condenser, kv_m3_h, motors }));
  const effects = { ...healthyEffects(400), ...changed };
  const state = newCircuit(physics, 1, 293.15);
  startCircuit(physics, state, 45);
  const around = {
    entering_K: 285.15,
    waterFlow_m3_s: physics.waterFlow_m3_s * 0.8 * effects.evaporatorFlow,
    coolant_K: condenser === 'water' ? 300.15 : 305.15,
    ambient_K: 295.15,
    loadTarget: load,
    setpoint_K: 6,
    otherEvaporating_K: NaN,
    otherSuctionSensor_K: NaN,
  };
  const sum = {} as Record<keyof Settled, number>;
  const last = 180;
  for (let i = -540; i < last; i++) {
    advanceRunning(physics, state, around, effects, 10);
    if (i < 0) continue;
    const high_Pa = highSide_Pa(physics, state.condensing_K, effects);
    const now: Settled = {
      evaporating_K: state.evaporating_K,
      condensing_K: saturationTemperature(refrigerant, high_Pa, 'dew'),
      subcooling_K: saturationTemperature(refrigerant, high_Pa, 'bubble') - state.liquid_K,
      discharge_K: state.dischargeSensor_K,
      coolantRise_K: state.coolantLeaving_K - around.coolant_K,
      leavingCoolant_K: state.coolantLeaving_K,
      waterDifference_K: around.entering_K - state.leaving_K,
      heat_W: state.heat_W,
      power_W: state.power_W,
      opening_pct: state.motor_pct,
      superheat_K: state.superheat_K,
      rejected_W: state.heat_W + state.power_W,
      carriedOff_W: state.coolant_W_K * (state.coolantLeaving_K - around.coolant_K),
    };
    for (const name of Object.keys(now) as (keyof Settled)[]) sum[name] = (sum[name] ?? 0) + now[name] / last;
  }
  expect(Math.abs(waterHeat_J_m3K * around.waterFlow_m3_s * sum.waterDifference_K - sum.heat_W)).toBeLessThan(
    0.01 * sum.heat_W,
  );
  return sum;
}

const healthy = settled();
const approach = ({ condensing_K, leavingCoolant_K }: Settled) => condensing_K - leavingCoolant_K;

// Signs: from memory, Comstock & Braun 1999 (ASHRAE RP-1043) and Rossi & Braun 1997; the valve holds superheat here.
describe('a circuit with a fault', () => {
  it('balances heat rejected and heat carried off by the coolant within 0.5 %, healthy or not', () => {
    for (const one of [healthy, settled({ condenserFlow: 0.7 }), settled({ gas: 0.024 })])
      expect(Math.abs(one.carriedOff_W / one.rejected_W - 1)).toBeLessThan(0.005);
  });

  it('has approach and subcooling of the condenser rise together with gas', () => {
    const [one, more] = [settled({ gas: 0.01 }), settled({ gas: 0.024 })];
    for (const [less, gas] of [
      [healthy, one],
      [one, more],
    ]) {
      expect(approach(gas)).toBeGreaterThan(approach(less) + 0.3);
      expect(gas.subcooling_K).toBeGreaterThan(less.subcooling_K + 0.3);
      expect(gas.power_W).toBeGreaterThan(less.power_W);
    }
  });

  it('has more subcooling and a little higher condensing with too much refrigerant, less and a wider valve with too little', () => {
    const much = settled({ charge: 1.2 });
    const little = settled({ charge: 0.8 });
    expect(much.subcooling_K).toBeGreaterThan(healthy.subcooling_K + 0.4);
    expect(much.condensing_K).toBeGreaterThan(healthy.condensing_K);
    expect(much.condensing_K - healthy.condensing_K).toBeLessThan(1);
    expect(little.subcooling_K).toBeLessThan(healthy.subcooling_K - 1);
    expect(little.opening_pct).toBeGreaterThan(healthy.opening_pct);
  });

  it('condenses higher with the condenser fouled, at the same rise of its water', () => {
    const fouled = settled({ condenserUa: 0.7 });
    expect(approach(fouled)).toBeGreaterThan(approach(healthy) + 0.7);
    expect(fouled.discharge_K).toBeGreaterThan(healthy.discharge_K);
    expect(Math.abs(fouled.coolantRise_K / healthy.coolantRise_K - 1)).toBeLessThan(0.02);
  });

  it('warms its condenser water in inverse proportion to the flow', () => {
    const slow = settled({ condenserFlow: 0.7 });
    const heat = slow.rejected_W / healthy.rejected_W;
    expect(slow.coolantRise_K / healthy.coolantRise_K).toBeCloseTo(heat / 0.7, 2);
    expect(slow.condensing_K).toBeGreaterThan(healthy.condensing_K + 0.5);
  });

  it('evaporates lower with the evaporator fouled, and with little water cools that further', () => {
    const fouled = settled({ evaporatorUa: 0.7 });
    const slow = settled({ evaporatorFlow: 0.7 });
    expect(fouled.evaporating_K).toBeLessThan(healthy.evaporating_K - 0.5);
    expect(slow.evaporating_K).toBeLessThan(healthy.evaporating_K - 0.3);
    expect(slow.waterDifference_K).toBeGreaterThan(1.25 * healthy.waterDifference_K);
  });

  it('cools less for each watt, with hotter discharge, where the compressor leaks inside', () => {
    const weak = settled({ delivered: 0.8 });
    expect(weak.heat_W).toBeLessThan(0.93 * healthy.heat_W);
    expect(weak.power_W / weak.heat_W).toBeGreaterThan((1.05 * healthy.power_W) / healthy.heat_W);
    expect(weak.discharge_K).toBeGreaterThan(healthy.discharge_K + 3);
  });

  it('stands further open by what its valve lost in steps, and by half of what one of two lost; nothing else moves', () => {
    const offset = settled({ lostOpening_pct: -8 });
    expect(offset.opening_pct - healthy.opening_pct).toBeCloseTo(8, 0);
    const pair = settled({}, { motors: 2 });
    const lagging = settled({ secondLag_pct: 16 }, { motors: 2 });
    expect(lagging.opening_pct - pair.opening_pct).toBeGreaterThan(6.5);
    expect(lagging.opening_pct - pair.opening_pct).toBeLessThan(9.5);
    for (const [less, one] of [
      [healthy, offset],
      [pair, lagging],
    ]) {
      expect(Math.abs(one.evaporating_K - less.evaporating_K)).toBeLessThan(0.1);
      expect(Math.abs(one.subcooling_K - less.subcooling_K)).toBeLessThan(0.1);
    }
  });

  it('stands less open where its valve leaks by, further open behind a restriction, the more the higher the load', () => {
    expect(settled({ leakBy: 0.04 }).opening_pct).toBeLessThan(healthy.opening_pct - 2);
    const restriction = 0.7 ** -2 - 1;
    const wider = (load: number) =>
      settled({ restriction }, { load }).opening_pct / settled({}, { load }).opening_pct;
    expect(wider(0.9)).toBeGreaterThan(wider(0.5) + 0.03);
    expect(wider(0.5)).toBeGreaterThan(1.01);
  });

  // Common practice, no source: condensers are charged for about 5 K at full load, and keep some of it at part load.
  it.each([
    ['R407C', 'air'],
    ['R407C', 'water'],
    ['R454B', 'air'],
    ['R134a', 'water'],
  ] as const)(
    'leaves %s subcooled by more than 2 K at 60 %% of load, healthy and cooled by %s',
    (refrigerant, condenser) => {
      expect(settled({}, { refrigerant, condenser, load: 0.6 }).subcooling_K).toBeGreaterThan(2);
    },
  );
});
