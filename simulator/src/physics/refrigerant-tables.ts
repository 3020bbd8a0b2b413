import {
  liquidDensity,
  liquidEnthalpy,
  saturationPressure,
  saturationTemperature,
  vapourDensity,
  vapourEnthalpy,
  vapourEntropy,
} from '@coldrounds/core/refrigerants';

/**
 * Refrigerant properties on a grid of 0.5 K, for a loop that needs them several million times: one index, one
 * fraction, linear interpolation. Against the functions that they are made from, the saturation pressure is
 * within 50 ppm (curvature: p'' h^2 / 8 with p''/p about 1e-3 per K^2).
 *
 * All arrays run over the same temperature grid. For a blend, "dew" arrays take the dew temperature and
 * "liquid" arrays the temperature of boiling liquid.
 */
export interface RefrigerantTables {
  refrigerant: string;
  criticalPressure_Pa: number;
  dewPressure_Pa: Float64Array;
  /** Slope of the dew pressure, Pa/K. */
  dewPressureSlope: Float64Array;
  /** Bubble temperature at the pressure of this dew temperature, K. */
  bubbleTemperature_K: Float64Array;
  bubblePressure_Pa: Float64Array;
  vapourEnthalpy_J_kg: Float64Array;
  vapourDensity_kg_m3: Float64Array;
  vapourDensitySlope: Float64Array;
  /** Mean heat capacity over the first 8 K of superheat, J/(kg K). */
  vapourHeatCapacity: Float64Array;
  /** Relative growth of specific volume per kelvin of superheat, 1/K. */
  vapourExpansion: Float64Array;
  liquidEnthalpy_J_kg: Float64Array;
  liquidDensity_kg_m3: Float64Array;
  /** Vapour less boiling liquid at the same pressure, over the dew temperature, J/kg. */
  latentHeat_J_kg: Float64Array;
  /** Isentropic compression work from (evaporating dew, 6 K superheat) to condensing dew, J/kg, on a coarse grid. */
  isentropicWork_J_kg: Float64Array;
  /** Dew temperature over ln(pressure). */
  dewTemperatureByLog_K: Float64Array;
  logFirst: number;
  logInverseStep: number;
}

export const firstTemperature_K = 233.15;
export const inverseStep = 2;
export const lastTemperature_K = 333.15;
const count = Math.round((lastTemperature_K - firstTemperature_K) * inverseStep) + 1;

const workFirst_K = 243.15;
const workStep_K = 5;
const workCount = 19;

/** Critical pressures, Pa. Computed with CoolProp 8.0.0 for the single substances; blends from memory (ASHRAE handbook). */
const criticalPressures: Record<string, number> = {
  R134a: 4.059e6,
  'R1234ze(E)': 3.635e6,
  R1234yf: 3.382e6,
  R32: 5.782e6,
  'R1233zd(E)': 3.583e6,
  R290: 4.251e6,
  R410A: 4.901e6,
  R454B: 5.27e6,
  R513A: 3.77e6,
  R515B: 3.58e6,
  R407C: 4.632e6,
  R404A: 3.729e6,
};

const cache = new Map<string, RefrigerantTables>();

/** The tables of one refrigerant, made at first use. Throws when the simulator does not know the refrigerant. */
export function refrigerantTables(refrigerant: string): RefrigerantTables {
  const known = cache.get(refrigerant);
  if (known) return known;
  const made = makeTables(refrigerant);
  cache.set(refrigerant, made);
  return made;
}

function makeTables(refrigerant: string): RefrigerantTables {
  const criticalPressure_Pa = criticalPressures[refrigerant];
  if (criticalPressure_Pa === undefined) throw new RangeError(`no critical pressure for "${refrigerant}"`);
  const column = () => new Float64Array(count);
  const dewPressure_Pa = column();
  const bubbleTemperature_K = column();
  const bubblePressure_Pa = column();
  const vapourEnthalpy_J_kg = column();
  const vapourDensity_kg_m3 = column();
  const vapourHeatCapacity = column();
  const vapourExpansion = column();
  const liquidEnthalpy_J_kg = column();
  const liquidDensity_kg_m3 = column();
  const latentHeat_J_kg = column();
  for (let i = 0; i < count; i++) {
    const temperature_K = firstTemperature_K + i / inverseStep;
    const pressure_Pa = saturationPressure(refrigerant, temperature_K, 'dew');
    dewPressure_Pa[i] = pressure_Pa;
    bubbleTemperature_K[i] = saturationTemperature(refrigerant, pressure_Pa, 'bubble');
    bubblePressure_Pa[i] = saturationPressure(refrigerant, temperature_K, 'bubble');
    // Just above dew, so that rounding does not put the point on the liquid side.
    const justDry_K = temperature_K + 1e-6;
    vapourEnthalpy_J_kg[i] = vapourEnthalpy(refrigerant, pressure_Pa, justDry_K);
    vapourDensity_kg_m3[i] = vapourDensity(refrigerant, pressure_Pa, justDry_K);
    vapourHeatCapacity[i] =
      (vapourEnthalpy(refrigerant, pressure_Pa, temperature_K + 8) - vapourEnthalpy_J_kg[i]) / 8;
    vapourExpansion[i] =
      (vapourDensity_kg_m3[i] / vapourDensity(refrigerant, pressure_Pa, temperature_K + 8) - 1) / 8;
    liquidEnthalpy_J_kg[i] = liquidEnthalpy(refrigerant, temperature_K);
    liquidDensity_kg_m3[i] = liquidDensity(refrigerant, temperature_K);
    latentHeat_J_kg[i] = vapourEnthalpy_J_kg[i] - liquidEnthalpy(refrigerant, bubbleTemperature_K[i]);
  }
  const logFirst = Math.log(dewPressure_Pa[0]);
  const logInverseStep = (count * 2) / (Math.log(dewPressure_Pa[count - 1]) - logFirst);
  const dewTemperatureByLog_K = new Float64Array(count * 2 + 1);
  for (let i = 0; i <= count * 2; i++) {
    const pressure_Pa = Math.exp(logFirst + i / logInverseStep);
    dewTemperatureByLog_K[i] = saturationTemperature(refrigerant, pressure_Pa, 'dew');
  }
  return {
    refrigerant,
    criticalPressure_Pa,
    dewPressure_Pa,
    dewPressureSlope: slopes(dewPressure_Pa),
    bubbleTemperature_K,
    bubblePressure_Pa,
    vapourEnthalpy_J_kg,
    vapourDensity_kg_m3,
    vapourDensitySlope: slopes(vapourDensity_kg_m3),
    vapourHeatCapacity,
    vapourExpansion,
    liquidEnthalpy_J_kg,
    liquidDensity_kg_m3,
    latentHeat_J_kg,
    isentropicWork_J_kg: isentropicWork(refrigerant),
    dewTemperatureByLog_K,
    logFirst,
    logInverseStep,
  };
}

function slopes(values: Float64Array): Float64Array {
  return values.map((_, i) => {
    const before = Math.max(0, i - 1);
    const after = Math.min(values.length - 1, i + 1);
    return ((values[after] - values[before]) * inverseStep) / (after - before);
  });
}

function isentropicWork(refrigerant: string): Float64Array {
  const work = new Float64Array(workCount * workCount);
  for (let e = 0; e < workCount; e++) {
    for (let c = e + 1; c < workCount; c++) {
      const evaporating_K = workFirst_K + e * workStep_K;
      const condensing_K = workFirst_K + c * workStep_K;
      const suction_Pa = saturationPressure(refrigerant, evaporating_K, 'dew');
      const discharge_Pa = saturationPressure(refrigerant, condensing_K, 'dew');
      const entropy = vapourEntropy(refrigerant, suction_Pa, evaporating_K + 6);
      // Isentropic end temperature: between the dew line and the end of the vapour tables; beyond, the last slope is drawn on.
      let low = condensing_K + 1e-6;
      let high = condensing_K + 80;
      let temperature_K = low;
      if (vapourEntropy(refrigerant, discharge_Pa, low) < entropy) {
        for (let step = 0; step < 40; step++) {
          temperature_K = 0.5 * (low + high);
          if (vapourEntropy(refrigerant, discharge_Pa, temperature_K) < entropy) low = temperature_K;
          else high = temperature_K;
        }
      }
      const gained =
        vapourEnthalpy(refrigerant, discharge_Pa, temperature_K) -
        vapourEnthalpy(refrigerant, suction_Pa, evaporating_K + 6);
      const missing = entropy - vapourEntropy(refrigerant, discharge_Pa, temperature_K);
      work[e * workCount + c] = gained + missing * temperature_K;
    }
  }
  return work;
}

/** Position on the temperature grid, kept inside it. */
export function gridPosition(temperature_K: number): number {
  const position = (temperature_K - firstTemperature_K) * inverseStep;
  return position < 0 ? 0 : position > count - 1.000001 ? count - 1.000001 : position;
}

/** Linear interpolation of one table at a temperature. */
export function at(table: Float64Array, temperature_K: number): number {
  const position = gridPosition(temperature_K);
  const i = position | 0;
  return table[i] + (position - i) * (table[i + 1] - table[i]);
}

/** Dew temperature at a pressure, kept to the ends of the table. */
export function dewTemperature(tables: RefrigerantTables, pressure_Pa: number): number {
  const position = (Math.log(pressure_Pa > 1 ? pressure_Pa : 1) - tables.logFirst) * tables.logInverseStep;
  const last = tables.dewTemperatureByLog_K.length - 1.000001;
  const inside = position < 0 ? 0 : position > last ? last : position;
  const i = inside | 0;
  const table = tables.dewTemperatureByLog_K;
  return table[i] + (inside - i) * (table[i + 1] - table[i]);
}

/** Isentropic work between two dew temperatures, bilinear, J/kg; zero when there is nothing to lift. */
export function workBetween(tables: RefrigerantTables, evaporating_K: number, condensing_K: number): number {
  if (condensing_K <= evaporating_K) return 0;
  const limit = workCount - 1.000001;
  const e = Math.min(limit, Math.max(0, (evaporating_K - workFirst_K) / workStep_K));
  const c = Math.min(limit, Math.max(0, (condensing_K - workFirst_K) / workStep_K));
  const i = e | 0;
  const j = c | 0;
  const fe = e - i;
  const fc = c - j;
  const w = tables.isentropicWork_J_kg;
  const low = w[i * workCount + j] * (1 - fc) + w[i * workCount + j + 1] * fc;
  const high = w[(i + 1) * workCount + j] * (1 - fc) + w[(i + 1) * workCount + j + 1] * fc;
  return low * (1 - fe) + high * fe;
}
