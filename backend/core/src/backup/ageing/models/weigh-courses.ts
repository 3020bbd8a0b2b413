import { bent, paceChange, placesOfChange, shapes, usualDoubling, type Axis } from './ageing-courses.js';
import { addTo, dot, takeOut } from '../../../numerics/right-angles.js';
import { filled } from '../../../numerics/robust.js';

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

/** Medians on the scale of a power, on which a course is a line. */
export interface Scale {
  power: number;
  z: Float64Array;
  /** Times a small error on this scale, the relative error of C. */
  relative: Float64Array;
  /** Precision, in squares of relative error, with which a change of pace is believed to be none. */
  noChange: number;
}

/** A course of ageing held against the medians. */
export interface Course {
  axis: Axis;
  scale: Scale;
  /** First bin of the later pace; 0 where it kept one. */
  change: number;
  weight: number;
  /** What the temperature law is off by if this is the course, of ln C per K, and how well that is known. */
  perK: number;
  perKUncertainty: number;
}

const leastWeight = 0.01;

function scaleOf({ level_F, scatter }: MeasuredLevels, power: number): Scale {
  const bins = level_F.length;
  const z = filled(bins, (i) => bent(level_F[i]!, power));
  const relative = filled(bins, (i) => (power === 0 ? 1 : 1 / (power * z[i]!)));
  const perSecond = paceChange.perSecond / relative[bins >> 1]!;
  return { power, z, relative, noChange: (scatter / perSecond) ** 2 };
}

export const sinceChange = (x: Float64Array, change: number): Float64Array =>
  filled(x.length, (i) => (i > change ? x[i]! - x[change]! : 0));

/**
 * Courses weighted by what is believed of each beforehand times its marginal likelihood: of the line, a change of pace
 * and an error of the temperature law, all linear and normal, the first with a flat prior (Bishop 2006, Pattern
 * Recognition and Machine Learning, 3.5: MEMORY). An error of the law swings with the seasons and would else pass for
 * ageing that quickens. Courses under 1 % are left out.
 */
export function weighCourses(axes: readonly Axis[], measured: MeasuredLevels): Course[] {
  const { scatter, freedom, warmer_K, perKUncertainty } = measured;
  const bins = measured.level_F.length;
  const lawPrecision = (scatter / Math.max(1e-9, perKUncertainty)) ** 2;
  const held: (Course & { squares: number })[] = [];

  const hold = (axis: Axis, scale: Scale, prior: number, changes: readonly number[]) => {
    const { x } = axis;
    const { z, relative, noChange } = scale;
    // On the scale of relative errors, at right angles to every straight line.
    const basis: Float64Array[] = [];
    addTo(basis, relative);
    addTo(basis, product(x, relative));
    const y = takeOut(basis, product(z, relative));
    const w = takeOut(basis, warmer_K);
    const wy = dot(w, y);
    const ww = dot(w, w) + lawPrecision;
    const yy = dot(y, y);
    for (const change of changes) {
      let [hy, hw, hh] = [0, 0, noChange];
      if (change > 0) {
        const h = takeOut(basis, product(sinceChange(x, change), relative));
        hy = dot(h, y);
        hw = dot(h, w);
        hh += dot(h, h);
      }
      const lawLeft = ww - (hw * hw) / hh;
      const perK = (wy - (hw * hy) / hh) / lawLeft;
      held.push({
        axis,
        scale,
        change,
        weight: prior * Math.sqrt((noChange / hh) * (lawPrecision / lawLeft)),
        squares: yy - (hy * hy) / hh - perK * perK * lawLeft,
        perK,
        perKUncertainty: scatter / Math.sqrt(lawLeft),
      });
    }
  };

  const places = placesOfChange(bins);
  const onePace = shapes.map(({ power, prior }) => ({ scale: scaleOf(measured, power), prior }));
  for (const axis of axes)
    for (const { scale, prior } of onePace)
      hold(axis, scale, (1 - paceChange.prior) * prior * axis.prior, [0]);
  for (const { power, prior } of paceChange.shapes)
    hold(axes[usualDoubling]!, scaleOf(measured, power), (paceChange.prior * prior) / places.length, places);

  const least = held.reduce((low, { squares }) => Math.min(low, squares), Infinity);
  const variance = Math.max(scatter * scatter, least / Math.max(1, bins - 3));
  // Student's t: the scatter is itself known only from so many tests.
  for (const course of held)
    course.weight *= (1 + (course.squares - least) / (freedom * variance)) ** (-(freedom + 1) / 2);
  const all = total(held);
  const kept = held.filter(({ weight }) => weight > leastWeight * all);
  const sum = total(kept);
  return kept.map((course) => ({ ...course, weight: course.weight / sum }));
}

const total = (courses: readonly Course[]) => courses.reduce((sum, { weight }) => sum + weight, 0);

const product = (a: Float64Array, b: Float64Array) => filled(a.length, (i) => a[i]! * b[i]!);
