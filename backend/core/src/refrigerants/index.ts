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
export {
  hottestVapour_K,
  isentropicDischarge,
  vapourDensity,
  vapourEnthalpy,
  vapourEntropy,
  vapourTemperatureFromEnthalpy,
  vapourTemperatureFromEntropy,
} from './vapour.js';
