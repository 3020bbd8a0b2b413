import {
  isentropicDischarge,
  saturationPressure,
  vapourEnthalpy,
  vapourTemperatureFromEnthalpy,
} from '../../../refrigerants/index.js';
import { OutOfRangeError } from '../../../units/index.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** What the discharge of a window says of the vapour that the compressor took in. */
export interface DischargeEvidence {
  /** Discharge temperature less condensing dew temperature, K. */
  superheat_K: number;
  /** Discharge temperature of a lossless compressor that takes in dry saturated vapour, K. */
  lossless_K: number;
  measured_K: number;
  /**
   * Isentropic efficiency if the vapour taken in is dry and saturated. Over 1 no adiabatic compressor is: then liquid
   * comes along, or the compressor is cooled by injected liquid or oil. Infinite where the discharge is saturated.
   */
  efficiency: number;
}

/**
 * Null where a value is missing or outside the tables, or where the pressures hardly differ (under 1.2: then an error of
 * half a kelvin in the discharge is most of the rise).
 */
export function dischargeEvidence(window: WindowJudgement, refrigerant: string): DischargeEvidence | null {
  const { evaporatingTemperature_K, condensingTemperature_K, dischargeTemperature_K } = window.conditions;
  if (
    evaporatingTemperature_K === null ||
    condensingTemperature_K === null ||
    dischargeTemperature_K === null
  )
    return null;
  try {
    const low_Pa = saturationPressure(refrigerant, evaporatingTemperature_K, 'dew');
    const high_Pa = saturationPressure(refrigerant, condensingTemperature_K, 'dew');
    if (high_Pa < 1.2 * low_Pa) return null;
    const lossless = isentropicDischarge(refrigerant, low_Pa, evaporatingTemperature_K, high_Pa);
    const superheat_K = dischargeTemperature_K - condensingTemperature_K;
    const inlet = vapourEnthalpy(refrigerant, low_Pa, evaporatingTemperature_K);
    const rise = superheat_K > 0 ? vapourEnthalpy(refrigerant, high_Pa, dischargeTemperature_K) - inlet : 0;
    return {
      superheat_K,
      lossless_K: lossless.temperature_K,
      measured_K: dischargeTemperature_K,
      efficiency: rise > 0 ? lossless.enthalpyRise_J_kg / rise : Infinity,
    };
  } catch (error) {
    if (error instanceof OutOfRangeError) return null;
    throw error;
  }
}

/** Discharge temperature at a window's pressures for an isentropic efficiency on dry saturated vapour, K; null out of range. */
export function dischargeAtEfficiency(
  window: WindowJudgement,
  refrigerant: string,
  efficiency: number,
): number | null {
  const { evaporatingTemperature_K, condensingTemperature_K } = window.conditions;
  if (evaporatingTemperature_K === null || condensingTemperature_K === null) return null;
  try {
    const low_Pa = saturationPressure(refrigerant, evaporatingTemperature_K, 'dew');
    const high_Pa = saturationPressure(refrigerant, condensingTemperature_K, 'dew');
    const { enthalpyRise_J_kg } = isentropicDischarge(refrigerant, low_Pa, evaporatingTemperature_K, high_Pa);
    const inlet = vapourEnthalpy(refrigerant, low_Pa, evaporatingTemperature_K);
    return vapourTemperatureFromEnthalpy(refrigerant, high_Pa, inlet + enthalpyRise_J_kg / efficiency);
  } catch (error) {
    if (error instanceof OutOfRangeError) return null;
    throw error;
  }
}
