import { quantity, statement } from '../../diagnosis/statement.js';
import { liquidEnthalpy, saturationPressure, valueOrNaN, vapourEnthalpy } from '../../refrigerants/index.js';
import { celsiusToKelvin } from '../../units/index.js';
import { valveFlow_kg_s } from '../../valve/valve-flow.js';
import type { Doubt } from '../doubt.js';

/** Temperatures at which a valve's capacity is worked out. */
export interface RatingPoint {
  evaporating_K: number;
  condensing_K: number;
  superheat_K: number;
  subcooling_K: number;
  /** Of the difference of saturation pressures, what is left across the valve. */
  pressureFraction: number;
}

/** A water chiller at a warm day. Common practice, no source. */
export const usualPoint: RatingPoint = {
  evaporating_K: celsiusToKelvin(3),
  condensing_K: celsiusToKelvin(42),
  superheat_K: 6,
  subcooling_K: 5,
  pressureFraction: 0.95,
};

/** As much as a valve is ever asked to bring: a high condensing pressure and cold liquid. Common practice, no source. */
export const kindestPoint: RatingPoint = {
  ...usualPoint,
  condensing_K: celsiusToKelvin(55),
  subcooling_K: 10,
};

/**
 * Cooling capacity that a valve passes when it is fully open, W: the flow of liquid by IEC 60534 times the rise in enthalpy
 * from the liquid before the valve to the vapour at the evaporator's outlet. Flashing before the valve only lessens it.
 *
 * @throws OutOfRangeError where the point lies outside the refrigerant's table (over the critical point).
 * @example openCapacity_W('R134a', 1, usualPoint) // about 123e3
 */
export function openCapacity_W(refrigerant: string, kv_m3_h: number, point: RatingPoint): number {
  const low_Pa = saturationPressure(refrigerant, point.evaporating_K, 'dew');
  const high_Pa = saturationPressure(refrigerant, point.condensing_K, 'bubble');
  const liquid_K = point.condensing_K - point.subcooling_K;
  const flow_kg_s = valveFlow_kg_s(
    refrigerant,
    { kv_m3_h, motors: 1 },
    100,
    liquid_K,
    point.pressureFraction * (high_Pa - low_Pa),
  );
  const gained =
    vapourEnthalpy(refrigerant, low_Pa, point.evaporating_K + point.superheat_K) -
    liquidEnthalpy(refrigerant, liquid_K);
  return flow_kg_s * gained;
}

/** A valve that opens less than this at full load can hardly be set finely. Judgement, no source. */
const leastOpening = 0.1;

export interface ValveOnCircuit {
  refrigerant: string;
  kv_m3_h: number;
  motors: number;
  /** Cooling capacity of the circuit, W: the unit's over the number of its circuits, where no other is known. */
  capacity_W: number;
}

/**
 * Doubts about a Kv: that even in the kindest conditions it cannot carry the capacity, or that the valve would hardly
 * open at full load. None where the conditions lie outside the refrigerant's table.
 */
export function doubtsOfKv(valve: ValveOnCircuit, field: string): Doubt[] {
  const { refrigerant, motors, capacity_W } = valve;
  const kv_m3_h = valve.kv_m3_h * motors;
  const most_W = valueOrNaN(() => openCapacity_W(refrigerant, kv_m3_h, kindestPoint));
  const usual_W = valueOrNaN(() => openCapacity_W(refrigerant, kv_m3_h, usualPoint));
  if (!Number.isFinite(most_W + usual_W)) return [];
  if (most_W < capacity_W)
    return [
      {
        field,
        refused: false,
        sentence: statement(
          'Fully open and with condensing at {condensing}, this flow coefficient carries {carried}; the circuit is rated {rated}.',
          {
            condensing: quantity('temperature', kindestPoint.condensing_K),
            carried: quantity('power', most_W),
            rated: quantity('power', capacity_W),
          },
        ),
      },
    ];
  if (capacity_W < leastOpening * usual_W)
    return [
      {
        field,
        refused: false,
        sentence: statement(
          'With evaporating at {evaporating} and condensing at {condensing} this flow coefficient carries {carried} fully open; at the rated {rated} the valve would open by less than a tenth.',
          {
            evaporating: quantity('temperature', usualPoint.evaporating_K),
            condensing: quantity('temperature', usualPoint.condensing_K),
            carried: quantity('power', usual_W),
            rated: quantity('power', capacity_W),
          },
        ),
      },
    ];
  return [];
}
