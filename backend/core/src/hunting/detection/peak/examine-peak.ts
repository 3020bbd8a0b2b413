import { filled } from '../../../numerics/index.js';
import { gappyCorrelation } from '../../../signals/autocorrelation.js';
import { meansOnGrid, movingMean } from '../../../signals/resample.js';
import { fitSine } from '../../../signals/sine-fit.js';
import { halfCycles } from '../indices/half-cycles.js';
import { oscillationLimits } from '../oscillation-limits.js';
import { phaseConcentration } from '../indices/phase-concentration.js';
import {
  forsmanStattinSimilarity,
  haegglundLoadFraction,
  miaoSeborgRatio,
  thornhillRegularity,
} from '../indices/regularity-indices.js';
import { refinePeriod, type SpectralPeak } from './spectral-peak.js';

/** Looks at one peak of the spectrum with the other indices: do more than half of those that can be computed agree? */
export function examinePeak(time_s: Float64Array, rest: Float64Array, spacing_s: number, peak: SpectralPeak) {
  const n = time_s.length;
  const span = time_s[n - 1] - time_s[0];
  const period = refinePeriod(time_s, rest, peak.period_s);
  const fit = fitSine(time_s, rest, period);
  const spectral = {
    lombScarglePower: peak.normalisedPower,
    lombScargleProminence: Math.min(peak.prominence, 1e9),
    lombScargleFalseAlarm: peak.falseAlarm,
  };
  if ((n * spacing_s) / span < 0.5) {
    // Most samples are missing: too few for crossings and correlations, enough for phases.
    const concentration = phaseConcentration(time_s, rest, period);
    return {
      period_s: period,
      fit,
      agreed:
        concentration > oscillationLimits.phaseConcentration &&
        peak.normalisedPower > oscillationLimits.sparseFraction,
      indices: { ...spectral, phaseKeeping: concentration },
    };
  }
  // Bins of a sixteenth of the period leave the cycle whole and average the noise of long periods away.
  const step = Math.max(spacing_s, period / 16);
  const bins = Math.ceil(span / step) + 1;
  const perCycle = (n / span) * period;
  const grid = meansOnGrid(time_s, rest, time_s[0] - step / 2, step, bins, Math.max(period / 3, 2.01 * step));
  const slow = movingMean(grid, Math.max(3, 2 * Math.round(period / step / 2) + 1));
  const quick = Math.max(1, 2 * Math.floor(period / step / 8) + 1);
  const level = movingMean(
    filled(bins, (i) => grid[i] - slow[i]),
    quick,
  );
  const rho = gappyCorrelation(
    level,
    level,
    Math.min(bins - 1, Math.round(Math.min(span * 0.6, 8 * period) / step)),
  );
  const lags = rho.subarray((rho.length - 1) / 2);
  const dense = perCycle >= 3.5;
  const regularity = thornhillRegularity(lags, step);
  const decay = miaoSeborgRatio(lags, step, period);
  let covered = 0;
  for (let i = 0; i < bins; i++) if (Number.isFinite(level[i])) covered += step;
  const halves = dense ? halfCycles(level, step) : null;
  const similarity = halves ? forsmanStattinSimilarity(halves) : null;
  const loads = halves && fit ? haegglundLoadFraction(halves, 0.5 * fit.amplitude, period, covered) : null;
  const nearPeriod = regularity !== null && Math.abs(regularity.period_s / period - 1) < 0.25;
  const votes = [
    regularity === null ? null : regularity.regularity > oscillationLimits.thornhill && nearPeriod,
    decay === null ? null : decay > oscillationLimits.miaoSeborg,
    similarity === null ? null : similarity > oscillationLimits.forsmanStattin,
    loads === null ? null : loads > oscillationLimits.haegglund,
  ];
  const cast = votes.filter((vote) => vote !== null);
  const yes = cast.filter((vote) => vote).length;
  return {
    period_s: period,
    fit,
    agreed: yes >= 1 && yes * 2 > cast.length,
    indices: {
      ...spectral,
      thornhillRegularity: regularity?.regularity ?? null,
      thornhillPeriod_s: regularity?.period_s ?? null,
      miaoSeborgDecay: decay,
      forsmanStattinSimilarity: similarity,
      haegglundLoadFraction: loads,
    },
  };
}
