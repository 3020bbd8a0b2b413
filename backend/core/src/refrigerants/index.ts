export { canonicalRefrigerantName, refrigerantNames, type SaturationSide } from './fluid.js';
export { UnknownRefrigerantError } from './names.js';
export {
  saturationCurve,
  saturationPressure,
  saturationSlope_K_Pa,
  saturationTemperature,
  type SaturationCurve,
} from './saturation.js';
export { liquidDensity, liquidEnthalpy } from './liquid.js';
export { valueOrNaN } from './value-or-nan.js';
export {
  hottestVapour_K,
  isentropicDischarge,
  vapourDensity,
  vapourEnthalpy,
  vapourEntropy,
  vapourTemperatureFromEnthalpy,
  vapourTemperatureFromEntropy,
} from './vapour.js';
export { refrigerantFacts, type RefrigerantFacts, type SafetyClass } from './facts.js';
export type { TableErrors } from '../../fluids/fluid-table.js';
export { parsePressure, parseTemperature, type ParsedPressure } from './parse-quantity.js';
export {
  formatPropertyAnswer,
  propertyLookup,
  type PropertyAnswer,
  type PropertyQuestion,
  type SaturatedState,
} from './property-lookup.js';
