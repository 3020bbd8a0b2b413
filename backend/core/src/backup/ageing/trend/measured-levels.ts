import { filled, mean, median, overBins, type Binning } from '../../../numerics/index.js';
import type { MeasuredLevels } from '../models/index.js';
import { capacitancePrior, lawWithinBins } from '../temperature-law/index.js';

/** Capacitance of each test at the coldest temperature, and how it was brought there. */
export interface TestsAtColdest {
  temperature_K: Float64Array;
  /** Corrected for sudden changes, so that all are at the level after the last of them. */
  capacitance_F: Float64Array;
  coldest_K: number;
  /** The temperature law by which they were brought there, of ln C per K. */
  perK: number;
  /** Relative scatter of one test. */
  scatter: number;
}

/** Medians of neighbouring tests at the coldest temperature, by the temperature law seen within the bins. */
export function measuredLevels(tests: TestsAtColdest, binning: Binning): MeasuredLevels | null {
  const { perBin, bins } = binning;
  const { temperature_K, capacitance_F, perK, scatter } = tests;
  const level_F = overBins(capacitance_F, binning, median);
  if (!level_F.every((value) => value > 0)) return null;
  const warmer_K = filled(temperature_K.length, (i) => temperature_K[i]! - tests.coldest_K);
  const ln = filled(capacitance_F.length, (i) => Math.log(capacitance_F[i]!));
  const prior = { mean: capacitancePrior.mean - perK, spread: capacitancePrior.spread };
  const law = lawWithinBins({ ln, warmer_K }, binning, prior, scatter);
  const binWarmer_K = overBins(warmer_K, binning, mean);
  return {
    level_F: filled(bins, (i) => level_F[i]! * Math.exp(-law.perK * binWarmer_K[i]!)),
    // The median of many has 1.25 times the scatter of their mean.
    scatter: (scatter * (perBin > 2 ? 1.25 : 1)) / Math.sqrt(perBin),
    // A median of absolute differences between neighbours is worth about a quarter of as many independent tests.
    freedom: (perBin * bins) / 4,
    warmer_K: binWarmer_K,
    perK: perK + law.perK,
    perKUncertainty: law.uncertainty,
  };
}
