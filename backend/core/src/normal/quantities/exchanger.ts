import { liquidEnthalpy, valueOrNaN } from '../../refrigerants/index.js';

/** Heat that a cubic metre of water takes up per kelvin at about 20 °C, J/(m3 K) (handbook value, from memory; within 0.5 % from 5 to 45 °C). */
export const waterHeat_J_m3K = 4.18e6;

/**
 * Conductance UA, W/K, of an exchanger with one side at one temperature (condensing or evaporating) by
 * effectiveness-NTU (e.g. Incropera & DeWitt): e = 1 - exp(-NTU), UA = NTU times the heat capacity flow of the water.
 * `approach_K` is the distance of the leaving water from the refrigerant, `difference_K` the water's own change.
 * NaN where there is no exchange or the water would pass the refrigerant.
 *
 * @example conductance(5, 1.5, 0.02) // 5 K change, 1.5 K approach, 20 l/s: 122,600 W/K
 */
export function conductance(difference_K: number, approach_K: number, flow_m3_s: number): number {
  if (!(difference_K > 0 && approach_K > 0)) return NaN;
  return Math.log((approach_K + difference_K) / approach_K) * flow_m3_s * waterHeat_J_m3K;
}

/** Approach at the leaving end, K, of an exchanger with that many transfer units and that change of its water. */
export const approachOf = (difference_K: number, transferUnits: number): number =>
  difference_K / Math.expm1(transferUnits);

/** Transfer units from approach and change; NaN where they are not positive. */
export const transferUnitsOf = (difference_K: number, approach_K: number): number =>
  difference_K > 0 && approach_K > 0 ? Math.log((approach_K + difference_K) / approach_K) : NaN;

export const liquidEnthalpyOrNaN = (refrigerant: string, temperature_K: number): number =>
  valueOrNaN(() => liquidEnthalpy(refrigerant, temperature_K));
