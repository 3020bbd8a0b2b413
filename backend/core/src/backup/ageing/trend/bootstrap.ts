import { dot, normalDraws, seededRandom } from '../../../numerics/index.js';
import {
  addedAge_s,
  inversePowerTransform,
  modelAtQuantile,
  powerTransform,
  stepAlong,
  type FittedModel,
  type MeasuredLevels,
} from '../models/index.js';

export interface BootstrapInput {
  models: readonly FittedModel[];
  measured: MeasuredLevels;
  /** Medians before this one were corrected for a sudden change, whose size has this relative standard error. */
  step: { beforeBin: number; uncertainty: number } | null;
  /** Per limit of the reserve, equally likely capacitances at which it is reached. */
  limits_F: readonly (readonly number[])[];
  draws: number;
  seed: number;
}

/** One value per draw, ascending. */
export interface BootstrapDraws {
  level_F: Float64Array;
  lossPerYear: Float64Array;
  /** Per limit, seconds from now; `Infinity` where it is never reached, 0 where it has been passed. */
  timeUntil_s: Float64Array[];
  /** Fraction of the draws in which capacitance does not fall. */
  notFalling: number;
}

const year_s = 365.25 * 86400;

/**
 * Each draw takes one ageing model by its posterior weight, resamples its residuals in circular blocks (Kuensch 1989,
 * Ann. Stat. 17:1217; Politis & Romano 1992), and draws the temperature law, the size of the sudden change and the
 * seasons to come from their own uncertainty. Repeats exactly for a seed.
 */
export function bootstrapTrend(input: BootstrapInput): BootstrapDraws {
  const { models, limits_F, draws } = input;
  const uniform = seededRandom(input.seed);
  const normal = normalDraws(uniform);
  const drawn = new Float64Array(input.measured.level_F.length);
  const level_F = new Float64Array(draws);
  const lossPerYear = new Float64Array(draws);
  const timeUntil_s = limits_F.map(() => new Float64Array(draws));
  let notFalling = 0;
  for (let d = 0; d < draws; d++) {
    const model = modelAtQuantile(models, uniform());
    const { power } = model.scale;
    const { calendar } = model.axis;
    resample(drawn, model, input, uniform, normal);
    const transformed = dot(model.inLevel, drawn);
    const slope = dot(model.inSlope, drawn);
    const level = inversePowerTransform(transformed, power);
    level_F[d] = level;
    const ahead = stepAlong(model.axis, calendar.meanRate * year_s);
    const nextYear = inversePowerTransform(transformed + slope * ahead, power);
    lossPerYear[d] = level > 0 && nextYear < Infinity ? 1 - nextYear / level : 0;
    if (!(slope < 0)) notFalling++;
    const season = normal();
    const assumption = uniform();
    for (let l = 0; l < limits_F.length; l++) {
      const limit = limits_F[l]![Math.floor(assumption * limits_F[l]!.length)]!;
      if (!(level > limit)) timeUntil_s[l]![d] = 0;
      else if (!(slope < 0)) timeUntil_s[l]![d] = Infinity;
      else {
        const added_s = addedAge_s(model.axis, (powerTransform(limit, power) - transformed) / slope);
        const expected_s = calendar.timeUntil_s(added_s);
        const faster = Math.exp(calendar.spread(expected_s) * season);
        timeUntil_s[l]![d] = calendar.timeUntil_s(added_s / faster);
      }
    }
  }
  level_F.sort();
  lossPerYear.sort();
  timeUntil_s.forEach((column) => column.sort());
  return { level_F, lossPerYear, timeUntil_s, notFalling: notFalling / draws };
}

/** Medians as they might have been: the line of the model, errors of law and step, and resampled residuals. */
function resample(
  drawn: Float64Array,
  { fitted, residual, scale: { power }, perKUncertainty }: FittedModel,
  { measured, step }: BootstrapInput,
  uniform: () => number,
  normal: () => number,
): void {
  const bins = drawn.length;
  const block = Math.max(2, Math.round(Math.cbrt(bins)));
  const lawError = perKUncertainty * normal();
  const stepError = step ? step.uncertainty * normal() : 0;
  const stepBin = step?.beforeBin ?? 0;
  for (let i = 0; i < bins;) {
    const place = Math.floor(uniform() * bins);
    for (let j = 0; j < block && i < bins; j++, i++) {
      // A relative error e is e on the logarithmic scale and power e C^power on the others.
      const relative = -lawError * measured.warmer_K[i]! + (i < stepBin ? stepError : 0);
      const error = power === 0 ? relative : power * fitted[i]! * relative;
      const other = place + j;
      drawn[i] = fitted[i]! + error + residual[other < bins ? other : other - bins]!;
    }
  }
}
