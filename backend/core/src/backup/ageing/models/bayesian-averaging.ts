import { dot, extendBasis, filled, projectOut } from '../../../numerics/index.js';
import type { AgeAxis } from './age-axis.js';
import { usualBelief, type AgeingBelief, type AgeingKind } from './ageing-belief.js';
import { changePoints, paceChange, shapes, usualDoubling } from './model-priors.js';
import { powerTransform } from './power-transform.js';

/** Medians of tests, and what is known of their errors. */
export interface MeasuredLevels {
  level_F: Float64Array;
  /** Relative scatter of one of them, and the degrees of freedom from which it is known. */
  scatter: number;
  freedom: number;
  /** How much warmer than the coldest each was, K. */
  warmer_K: Float64Array;
  /** The temperature law by which they were brought to the coldest, of ln C per K, with one standard uncertainty. */
  perK: number;
  perKUncertainty: number;
}

/** The medians after a power transform, on which an ageing model is a line. */
export interface PowerScale {
  power: number;
  z: Float64Array;
  /** Factor from a small error on this scale to the relative error of C. */
  relative: Float64Array;
  /** Prior precision of the change of pace about none, in units of the squared relative error. */
  noChange: number;
}

/** One model of ageing, with its posterior probability given the medians. */
export interface AgeingModel {
  kind: AgeingKind;
  axis: AgeAxis;
  scale: PowerScale;
  /** First bin of the later pace; 0 where the pace did not change. */
  change: number;
  weight: number;
  /** Error of the temperature law under this model, of ln C per K, with one standard uncertainty. */
  perK: number;
  perKUncertainty: number;
}

const smallestWeight = 0.01;
const evenShapes = [...shapes, { kind: 'root-of-age', power: 1 }] as const;

function scaleOf({ level_F, scatter }: MeasuredLevels, power: number): PowerScale {
  const bins = level_F.length;
  const z = filled(bins, (i) => powerTransform(level_F[i]!, power));
  const relative = filled(bins, (i) => (power === 0 ? 1 : 1 / (power * z[i]!)));
  const perSecond = paceChange.perSecond / relative[bins >> 1]!;
  return { power, z, relative, noChange: (scatter / perSecond) ** 2 };
}

export const ageSinceChange = (x: Float64Array, change: number): Float64Array =>
  filled(x.length, (i) => (i > change ? x[i]! - x[change]! : 0));

/**
 * Ageing models for Bayesian model averaging, each with its posterior probability: the prior times the marginal
 * likelihood of a line, a change of pace and an error of the temperature law, all linear and normal, the line with a
 * flat prior (Bishop 2006, Pattern Recognition and Machine Learning, 3.5: MEMORY). The error of the law is part of every
 * model, because it swings with the seasons and would otherwise look like ageing that quickens. Models under 1 % are
 * left out.
 */
export function posteriorModels(
  axes: readonly AgeAxis[],
  measured: MeasuredLevels,
  belief: AgeingBelief = usualBelief,
): AgeingModel[] {
  const { models } = weighedModels(axes, measured, belief);
  const all = totalWeight(models);
  const kept = models.filter(({ weight }) => weight > smallestWeight * all);
  const sum = totalWeight(kept);
  return kept.map((model) => ({ ...model, weight: model.weight / sum }));
}

/** All models that the belief allows, weighted by prior times likelihood, up to a factor that they share. */
export function weighedModels(
  axes: readonly AgeAxis[],
  measured: MeasuredLevels,
  belief: AgeingBelief,
): { models: AgeingModel[]; variance: number } {
  const candidates = candidatesFor(axes, measured, belief);
  const { scatter, freedom } = measured;
  const fewestSquares = candidates.reduce((low, { squares }) => Math.min(low, squares), Infinity);
  const variance = Math.max(scatter * scatter, fewestSquares / Math.max(1, measured.level_F.length - 3));
  // Student's t, because the scatter itself is estimated from a limited number of tests.
  const models = candidates.map(({ squares, weight, ...model }): AgeingModel => {
    const likelihood = (1 + (squares - fewestSquares) / (freedom * variance)) ** (-(freedom + 1) / 2);
    return { ...model, weight: weight * likelihood };
  });
  return { models, variance };
}

function candidatesFor(
  axes: readonly AgeAxis[],
  measured: MeasuredLevels,
  belief: AgeingBelief,
): Candidate[] {
  const candidates: Candidate[] = [];
  const oneShape = evenShapes
    .filter(({ kind }) => belief[kind] > 0)
    .map((shape) => ({ ...shape, scale: scaleOf(measured, shape.power) }));
  for (const axis of axes)
    for (const { kind, scale } of oneShape)
      if ((kind === 'root-of-age') === (axis.root ?? false))
        candidates.push(...fitCandidates(kind, axis, scale, belief[kind] * axis.prior, [0], measured));
  const points = changePoints(measured.level_F.length);
  const byAge = axes.filter(({ root }) => !root);
  const usual = byAge[usualDoubling] ?? byAge[0]!;
  // Where a change is likelier than none, the doubling is what is least certain of the rest.
  const likely = belief['change-of-pace'] + belief['change-of-fraction'] > 0.5;
  for (const { kind, power } of paceChange.shapes) {
    if (!(belief[kind] > 0)) continue;
    const each = belief[kind] / points.length;
    const scale = scaleOf(measured, power);
    for (const axis of likely ? byAge : [usual])
      candidates.push(
        ...fitCandidates(kind, axis, scale, each * (likely ? axis.prior : 1), points, measured),
      );
  }
  return candidates;
}

/** A model with its residual sum of squares; `weight` is prior times what does not depend on the residuals. */
type Candidate = AgeingModel & { squares: number };

/** One model for each change point, all on one axis and scale, which share the projection on the straight line. */
function fitCandidates(
  kind: AgeingKind,
  axis: AgeAxis,
  scale: PowerScale,
  prior: number,
  changes: readonly number[],
  { scatter, warmer_K, perKUncertainty }: MeasuredLevels,
): Candidate[] {
  const lawPrecision = (scatter / Math.max(1e-9, perKUncertainty)) ** 2;
  const { x } = axis;
  const { z, relative, noChange } = scale;
  // On the scale of relative errors, orthogonal to every straight line.
  const line: Float64Array[] = [];
  extendBasis(line, relative);
  extendBasis(line, product(x, relative));
  const y = projectOut(line, product(z, relative));
  const w = projectOut(line, warmer_K);
  const wy = dot(w, y);
  const ww = dot(w, w) + lawPrecision;
  const yy = dot(y, y);
  return changes.map((change) => {
    let [hy, hw, hh] = [0, 0, noChange];
    if (change > 0) {
      const h = projectOut(line, product(ageSinceChange(x, change), relative));
      hy = dot(h, y);
      hw = dot(h, w);
      hh += dot(h, h);
    }
    const lawPosterior = ww - (hw * hw) / hh;
    const perK = (wy - (hw * hy) / hh) / lawPosterior;
    return {
      kind,
      axis,
      scale,
      change,
      weight: prior * Math.sqrt((noChange / hh) * (lawPrecision / lawPosterior)),
      squares: yy - (hy * hy) / hh - perK * perK * lawPosterior,
      perK,
      perKUncertainty: scatter / Math.sqrt(lawPosterior),
    };
  });
}

const totalWeight = (models: readonly AgeingModel[]) => models.reduce((sum, { weight }) => sum + weight, 0);

const product = (a: Float64Array, b: Float64Array) => filled(a.length, (i) => a[i]! * b[i]!);
