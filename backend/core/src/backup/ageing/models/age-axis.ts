import { filled } from '../../../numerics/index.js';
import type { AgeingCalendar } from '../temperature-law/index.js';

/** Age of each bin under one assumption about the doubling, on the axis on which a model is a line. */
export interface AgeAxis {
  calendar: AgeingCalendar;
  now: number;
  x: Float64Array;
  prior: number;
  /** Where true, x is the root (`rootOfAge_s`) of weighted age since new; otherwise that age. */
  root?: true;
}

const year_s = 365.25 * 86400;

/** Root of an age, scaled so that it equals the age at one year. */
export const rootOfAge_s = (age_s: number): number => Math.sqrt(age_s * year_s);

/**
 * The same axis by the root of age: capacitance that falls with the square root of time is a line on it (the usual law
 * of ageing by diffusion and by films that grow: COMMON PRACTICE, no source).
 *
 * @param before_s weighted age at the origin of `axis.x`.
 */
export function rootAxis(axis: AgeAxis, before_s: number): AgeAxis {
  const rootOf = (age_s: number) => rootOfAge_s(Math.max(0, before_s + age_s));
  return { ...axis, now: rootOf(axis.now), x: filled(axis.x.length, (i) => rootOf(axis.x[i]!)), root: true };
}

/** Weighted age that so much more on the axis adds from now on, s. */
export const addedAge_s = ({ root, now }: AgeAxis, step: number): number =>
  root ? ((now + step) ** 2 - now * now) / year_s : step;

/** How much further the axis is after so much more weighted age. */
export const stepAlong = ({ root, now }: AgeAxis, added_s: number): number =>
  root ? Math.sqrt(now * now + added_s * year_s) - now : added_s;
