import type { CircuitEffects } from '../../../faults/effects.js';
import type { CircuitState, CircuitSurroundings } from '../circuit-state.js';
import { volumetricEfficiency, waterHeat_J_m3K, type CircuitPhysics } from '../design.js';
import { at } from '../../refrigerant-tables.js';
import { valveInlet } from './valve-inlet.js';

/** What changes so slowly that it is worked out once for an advance of some seconds. */
export interface RunningConditions {
  condensing_Pa: number;
  choked_Pa: number;
  /** Mass flow of the fully open valve over the root of the drop, kg/(s Pa^0.5). */
  flowFactor: number;
  /** Volume that the compressor draws at full load, m3/s. */
  sweep_m3_s: number;
  /** Vapour share behind the valve. */
  quality: number;
  liquidHeatCapacity: number;
  ntu: number;
  heatTransfer_W_K: number;
  inverseWetting: number;
  waterCapacity_W_K: number;
  dryoutKeep: number;
  dryoutKick: number;
  /** Surface left to condense on, over the design's. */
  condensingArea: number;
  /** What lets the valve pass otherwise than its stem says: leak when shut, restriction before it, a second valve that lags. */
  leakBy: number;
  restriction: number;
  secondLag_pct: number;
  /** Seconds that liquid takes from the valve to the evaporator's tubes. */
  transport_s: number;
}

/** Works out the conditions from the state at the beginning; keeps the liquid's temperature in the state. */
export function runningConditions(
  physics: CircuitPhysics,
  state: CircuitState,
  around: CircuitSurroundings,
  effects: CircuitEffects,
): RunningConditions {
  const { design, tables } = physics;
  const inlet = valveInlet(physics, state, effects, around.coolant_K);
  state.liquid_K = inlet.liquid_K;
  const evaporating_K = state.evaporating_K;
  const ratio = inlet.pressure_Pa / at(tables.dewPressure_Pa, evaporating_K);
  const latent = at(tables.latentHeat_J_kg, evaporating_K);
  const vapour = at(tables.vapourEnthalpy_J_kg, evaporating_K);
  const relativeFlow = Math.max(0.15, state.compressorFlow_kg_s / physics.nominalFlow_kg_s);
  const wetting_K = design.wettingBase_K + design.wettingByLoad_K * state.load;
  return {
    condensing_Pa: inlet.pressure_Pa,
    choked_Pa: inlet.choked_Pa,
    flowFactor: inlet.flowFactor,
    sweep_m3_s: physics.displacement_m3_s * volumetricEfficiency(ratio) * effects.delivered,
    quality: Math.max(0, 1 - (vapour - inlet.enthalpy_J_kg) / latent),
    liquidHeatCapacity:
      2 *
      (at(tables.liquidEnthalpy_J_kg, evaporating_K + 0.25) -
        at(tables.liquidEnthalpy_J_kg, evaporating_K - 0.25)),
    ntu: physics.dryZoneNtu * Math.pow(relativeFlow, -0.2),
    heatTransfer_W_K:
      (physics.evaporatorUa_W_K * effects.evaporatorUa) / evaporatorResistance(physics, around, relativeFlow),
    inverseWetting: 1 / wetting_K,
    waterCapacity_W_K: around.waterFlow_m3_s * waterHeat_J_m3K,
    dryoutKeep: 1 - 1 / design.dryoutMemory_s,
    dryoutKick: design.dryoutSpread * Math.sqrt(2 / design.dryoutMemory_s),
    condensingArea: inlet.condensingArea,
    leakBy: effects.leakBy,
    restriction: effects.restriction,
    secondLag_pct: design.motors === 2 ? effects.secondLag_pct : 0,
    transport_s: Math.max(0, Math.min(31, Math.round(design.transport_s))),
  };
}

/** Resistance of the evaporator over that at full load: the water's film goes with its flow to the 0.8, boiling improves with the refrigerant's. */
function evaporatorResistance(
  physics: CircuitPhysics,
  around: CircuitSurroundings,
  relativeFlow: number,
): number {
  const { waterResistance } = physics.design;
  const water = Math.max(0.1, around.waterFlow_m3_s / physics.waterFlow_m3_s);
  return (
    waterResistance * Math.pow(water, -0.8) +
    (1 - waterResistance) / (0.55 + 0.45 * Math.min(1.2, relativeFlow))
  );
}
