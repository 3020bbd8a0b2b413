export { lawWithinBins } from './law-within-bins.js';
export {
  type LawFit,
  type Prior,
  type TemperatureLaw,
  capacitancePrior,
  describeLaw,
  esrPrior,
  fitLaw,
  lawFromDifferences,
} from './temperature-law.js';
export {
  type AgeingCalendar,
  ageingCalendar,
  ageingRateAt,
  ageingRates,
  referenceTemperature_K,
  seasonsOf,
  weightedAge,
} from './weighted-age.js';
