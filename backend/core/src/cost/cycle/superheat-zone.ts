import { bracketedRoot } from '../../numerics/index.js';
import { saturationPressure, vapourEnthalpy } from '../../refrigerants/index.js';

/** A dry-expansion evaporator in steady running; temperatures in K. */
export interface EvaporatorState {
  refrigerant: string;
  enteringWater_K: number;
  leavingWater_K: number;
  /** Dew point of the suction pressure; the glide of a blend is left out. */
  evaporating_K: number;
  superheat_K: number;
  /** Heat that a kilogram takes up in the whole evaporator, J/kg. */
  effect_J_kg: number;
}

/**
 * Overall conductance per area where vapour is superheated, over that where refrigerant boils. Vapour passes on some
 * 100 to 300 W/(m2 K), boiling refrigerant some 1500 to 4000, and the water's side 3000 to 6000 in series with either:
 * 0.08 to 0.25 (judgement from usual film coefficients, no source).
 */
export const zoneConductances: readonly [number, number] = [0.08, 0.25];

/** Logarithmic mean of two temperature differences, K (e.g. Incropera & DeWitt); NaN where one is not positive. */
export function logMean(a_K: number, b_K: number): number {
  if (!(a_K > 0 && b_K > 0)) return NaN;
  const ratio = a_K / b_K;
  // Of nearly equal differences the arithmetic mean, which the logarithmic one approaches.
  return Math.abs(ratio - 1) < 1e-6 ? (a_K + b_K) / 2 : (a_K - b_K) / Math.log(ratio);
}

/**
 * Area that an evaporator needs, per heat and in units of 1/(conductance of boiling), m2 W/(m2 K W) = 1/K: vapour is
 * superheated against the entering water, refrigerant boils at one temperature against the rest.
 *
 * A = (1 - x) / LMTD(boiling) + x / (r LMTD(superheating))
 *
 * where x is the share of heat that goes into superheat and r the ratio of conductances. The water between the zones is
 * at `entering - x (entering - leaving)`. NaN where the vapour would have to become warmer than the water.
 */
export function areaNeeded(state: EvaporatorState, conductances: number): number {
  const { enteringWater_K, leavingWater_K, evaporating_K, superheat_K } = state;
  const x = superheatShare(state);
  const between_K = enteringWater_K - x * (enteringWater_K - leavingWater_K);
  const boiling = logMean(between_K - evaporating_K, leavingWater_K - evaporating_K);
  const superheating = logMean(enteringWater_K - evaporating_K - superheat_K, between_K - evaporating_K);
  return (1 - x) / boiling + (superheat_K > 0 ? x / (conductances * superheating) : 0);
}

/** Share of the evaporator's heat that superheats its vapour. */
function superheatShare({ refrigerant, evaporating_K, superheat_K, effect_J_kg }: EvaporatorState): number {
  if (!(superheat_K > 0)) return 0;
  const pressure_Pa = saturationPressure(refrigerant, evaporating_K, 'dew');
  const rise =
    vapourEnthalpy(refrigerant, pressure_Pa, evaporating_K + superheat_K) -
    vapourEnthalpy(refrigerant, pressure_Pa, evaporating_K);
  return rise / effect_J_kg;
}

/**
 * By how much the evaporating temperature would be higher, K, with superheat lower by `less_K`: same area, same heat,
 * same water. Found as the evaporating temperature at which the evaporator with less superheat needs the area that it
 * needs now. Null where the state is no working evaporator (vapour as warm as the water, sensors apart from each other).
 *
 * Counterflow is taken, in which the vapour leaves at the entering water; in parallel flow superheat costs more.
 *
 * @throws UnknownRefrigerantError; OutOfRangeError outside the property tables.
 */
export function evaporatingLostToSuperheat(
  state: EvaporatorState,
  less_K: number,
  conductances: number,
): number | null {
  const area = areaNeeded(state, conductances);
  if (!(area > 0) || !(less_K > 0)) return null;
  const superheat_K = Math.max(0, state.superheat_K - less_K);
  const excess = (evaporating_K: number) =>
    areaNeeded({ ...state, superheat_K, evaporating_K }, conductances) - area;
  // At the leaving water's temperature no area would suffice; there the search ends.
  const high = Math.min(state.leavingWater_K, state.enteringWater_K - superheat_K) - 1e-3;
  if (!(high > state.evaporating_K) || !(excess(high) > 0)) return null;
  return bracketedRoot(excess, state.evaporating_K, high, 1e-6) - state.evaporating_K;
}
