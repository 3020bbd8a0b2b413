import type { CircuitEffects } from '../../../faults/effects.js';
import type { CircuitState } from '../circuit-state.js';
import { liquidLine, type CircuitPhysics } from '../design.js';
import { coolantConductance, leastCoolant } from '../coolant-side.js';
import { highSide_Pa } from '../high-side.js';
import { at } from '../../refrigerant-tables.js';
import { chokedDrop } from '../valve.js';

/** What waits before the valve. */
export interface ValveInlet {
  pressure_Pa: number;
  liquid_K: number;
  /** The drop beyond which no more passes. */
  choked_Pa: number;
  /** Mass flow of the fully open valve over the root of the drop, kg/(s Pa^0.5); less where vapour takes up room. */
  flowFactor: number;
  enthalpy_J_kg: number;
  /** Surface that the liquid leaves to condense on, over the design's. */
  condensingArea: number;
}

/**
 * Refrigerant as it leaves condenser and liquid line: subcooled, or with the share of vapour that a lost charge leaves
 * in it. A mixture passes as a liquid of the mixture's density would (homogeneous flow).
 */
export function valveInlet(
  physics: CircuitPhysics,
  state: CircuitState,
  effects: CircuitEffects,
  coolant_K: number,
): ValveInlet {
  const { design, tables } = physics;
  const bubble_K = at(tables.bubbleTemperature_K, state.condensing_K);
  const line = liquidLine(
    physics,
    design.charge * effects.charge,
    state.load,
    {
      flow: Math.max(0.15, state.compressorFlow_kg_s / physics.nominalFlow_kg_s),
      conductance: coolantConductance(
        physics,
        effects,
        Math.max(leastCoolant, state.coolantControl) * effects.condenserFlow,
      ),
    },
    bubble_K,
    coolant_K,
  );
  const liquid_K = bubble_K - line.subcooling_K;
  const pressure_Pa = highSide_Pa(physics, state.condensing_K, effects);
  const liquidDensity = at(tables.liquidDensity_kg_m3, liquid_K);
  const thinning =
    line.vapourFraction > 0
      ? 1 /
        Math.sqrt(
          1 + line.vapourFraction * (liquidDensity / at(tables.vapourDensity_kg_m3, state.condensing_K) - 1),
        )
      : 1;
  return {
    pressure_Pa,
    liquid_K,
    choked_Pa: chokedDrop(pressure_Pa, at(tables.bubblePressure_Pa, liquid_K), tables.criticalPressure_Pa),
    flowFactor: (design.kv_m3_h * design.motors * thinning * Math.sqrt((1000 * liquidDensity) / 1e5)) / 3600,
    enthalpy_J_kg:
      at(tables.liquidEnthalpy_J_kg, liquid_K) +
      line.vapourFraction * at(tables.latentHeat_J_kg, state.condensing_K),
    condensingArea: line.condensingArea,
  };
}
