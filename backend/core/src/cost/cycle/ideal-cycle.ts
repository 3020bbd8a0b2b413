import {
  isentropicDischarge,
  liquidEnthalpy,
  saturationPressure,
  saturationTemperature,
  vapourEnthalpy,
} from '../../refrigerants/index.js';

/** What a vapour-compression cycle is worked out from: absolute pressures, Pa, and temperatures, K. */
export interface CycleState {
  suctionPressure_Pa: number;
  suctionTemperature_K: number;
  dischargePressure_Pa: number;
  liquidTemperature_K: number;
}

export interface IdealCycle {
  /** Heat taken up per work, without losses of the compressor. */
  cop: number;
  /** Heat that a kilogram takes up in the evaporator, J/kg. */
  effect_J_kg: number;
  /** Work of lossless compression, J/kg. */
  work_J_kg: number;
}

/** Vapour nearer to its dew point than this, K, is taken as this far above it: sensors cannot tell it from wet vapour. */
const driest_K = 0.05;

/**
 * The ideal vapour-compression cycle with superheat and subcooling as they are (e.g. ASHRAE Handbook - Fundamentals,
 * "Thermodynamics and Refrigeration Cycles"): lossless compression from the suction state to the discharge pressure,
 * no pressure drop, throttling at constant enthalpy:
 *
 * COP = (h1 - h3) / (h2s - h1)
 *
 * with h1 of the suction vapour, h2s after isentropic compression and h3 of the liquid before the valve, taken as
 * saturated liquid at its temperature (see `liquidEnthalpy`). A real machine's COP is lower by its compressor's
 * efficiency; the ratio of two COPs of the same machine near each other is that of the ideal ones.
 *
 * @throws UnknownRefrigerantError; OutOfRangeError outside the property tables.
 * @example // R134a, evaporating 5 C, condensing 40 C, no superheat, no subcooling: about 6.7
 * idealCycle('R134a', { suctionPressure_Pa: 349_658, suctionTemperature_K: 278.15, dischargePressure_Pa: 1_016_592, liquidTemperature_K: 313.15 }).cop
 */
export function idealCycle(refrigerant: string, state: CycleState): IdealCycle {
  const { suctionPressure_Pa: low, dischargePressure_Pa: high } = state;
  const dew = saturationTemperature(refrigerant, low, 'dew');
  const suction_K = Math.max(state.suctionTemperature_K, dew + driest_K);
  const effect_J_kg =
    vapourEnthalpy(refrigerant, low, suction_K) - liquidEnthalpy(refrigerant, state.liquidTemperature_K);
  const work_J_kg = isentropicDischarge(refrigerant, low, suction_K, high).enthalpyRise_J_kg;
  return { cop: effect_J_kg / work_J_kg, effect_J_kg, work_J_kg };
}

/**
 * The same cycle with an evaporating temperature `evaporating_K` higher and a condensing temperature `condensing_K`
 * lower, superheat and subcooling held. For a blend the dew point moves in the evaporator and the bubble point in the
 * condenser, which carries the whole glide along.
 */
export function movedCycle(
  refrigerant: string,
  state: CycleState,
  { evaporating_K, condensing_K }: { evaporating_K: number; condensing_K: number },
): CycleState {
  const dew_K = saturationTemperature(refrigerant, state.suctionPressure_Pa, 'dew');
  const bubble_K = saturationTemperature(refrigerant, state.dischargePressure_Pa, 'bubble');
  return {
    suctionPressure_Pa: saturationPressure(refrigerant, dew_K + evaporating_K, 'dew'),
    suctionTemperature_K: state.suctionTemperature_K + evaporating_K,
    dischargePressure_Pa: saturationPressure(refrigerant, bubble_K - condensing_K, 'bubble'),
    liquidTemperature_K: state.liquidTemperature_K - condensing_K,
  };
}

/**
 * Share of the compressor's energy that is given away where the cycle runs as `state` and could run with an evaporating
 * temperature that much higher and a condensing temperature that much lower, for the same cooling:
 * 1 - COP now / COP then. Negative where the cycle would be worse.
 */
export function shareGivenAway(
  refrigerant: string,
  state: CycleState,
  change: { evaporating_K: number; condensing_K: number },
): number {
  const now = idealCycle(refrigerant, state).cop;
  return 1 - now / idealCycle(refrigerant, movedCycle(refrigerant, state, change)).cop;
}
