import { describe, expect, it } from 'vitest';
import { saturationPressure, vapourEnthalpy } from '@coldrounds/core/refrigerants';
import { healthyEffects } from '../../../faults/effects.js';
import { newCircuit } from '../circuit-state.js';
import { defaultDesign, physicsOf, waterHeat_J_m3K } from '../design.js';
import { at } from '../../refrigerant-tables.js';
import { advanceRunning } from './running-circuit.js';
import { startCircuit } from '../start-and-stop.js';

const physics = physicsOf(
  defaultDesign({ refrigerant: 'R134a', capacity_W: 350e3, condenser: 'water', kv_m3_h: 10 }),
);

function settled(hours: number, load = 0.9) {
  const state = newCircuit(physics, 1, 293.15);
  startCircuit(physics, state, 45);
  const around = {
    entering_K: 286.15,
    waterFlow_m3_s: physics.waterFlow_m3_s * load,
    coolant_K: 301.15,
    ambient_K: 295.15,
    loadTarget: load,
    setpoint_K: 6,
    otherEvaporating_K: NaN,
    otherSuctionSensor_K: NaN,
  };
  const advance = () => advanceRunning(physics, state, around, healthyEffects(400), 10);
  for (let i = 0; i < hours * 360; i++) advance();
  return { state, around, advance };
}

describe('a running circuit', () => {
  it('conserves refrigerant: what the valve passes less what the compressor draws stays in the evaporator', () => {
    const { state, advance } = settled(1);
    const vapour = () =>
      physics.vapourVolume_m3 * at(physics.tables.vapourDensity_kg_m3, state.evaporating_K);
    const liquidBefore = state.liquid_kg;
    const vapourBefore = vapour();
    let valve = 0;
    let compressor = 0;
    for (let i = 0; i < 360; i++) {
      advance();
      valve += state.valveFlow_kg_s * 10;
      compressor += state.compressorFlow_kg_s * 10;
    }
    // What is on its way through the tubes (14 s) may differ between the two moments.
    const onTheWay = 14 * physics.nominalFlow_kg_s * 0.05;
    const stored = state.liquid_kg - liquidBefore + vapour() - vapourBefore;
    expect(Math.abs(valve - compressor - stored)).toBeLessThan(onTheWay);
    expect(valve / compressor).toBeCloseTo(1, 3);
  });

  it('closes the energy balance between water and refrigerant within 0.5 %', () => {
    const { state, around, advance } = settled(2);
    let water = 0;
    let refrigerant = 0;
    let heat = 0;
    for (let i = 0; i < 360; i++) {
      advance();
      water += around.waterFlow_m3_s * waterHeat_J_m3K * (around.entering_K - state.leaving_K);
      const suction_Pa = saturationPressure('R134a', state.evaporating_K, 'dew');
      const outlet = vapourEnthalpy('R134a', suction_Pa, state.evaporating_K + state.superheat_K);
      const inlet = at(physics.tables.liquidEnthalpy_J_kg, state.liquid_K);
      refrigerant += state.compressorFlow_kg_s * (outlet - inlet);
      heat += state.heat_W;
    }
    expect(water / heat).toBeCloseTo(1, 2);
    expect(Math.abs(refrigerant / heat - 1)).toBeLessThan(0.005);
  });

  it('holds superheat at its setpoint with a spread under 1 K, and never floods back', () => {
    const { state, advance } = settled(1);
    const values: number[] = [];
    let carried = 0;
    for (let i = 0; i < 720; i++) {
      advance();
      values.push(state.superheat_K);
      carried += state.liquidCarry_kg_s;
    }
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length);
    expect(mean).toBeCloseTo(6, 0);
    expect(spread).toBeLessThan(1);
    expect(carried).toBe(0);
  });
});
