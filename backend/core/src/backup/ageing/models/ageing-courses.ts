import type { AgeingCalendar } from '../temperature-law/index.js';

/** "Life doubles per 10 K" may itself be off: factors on the 10 K and how far each is believed beforehand. */
export const doublings = [
  { factor: 0.8, prior: 0.25 },
  { factor: 1, prior: 0.5 },
  { factor: 1.25, prior: 0.25 },
];
/** The doubling taken where something else is far less certain. */
export const usualDoubling = 1;

/**
 * Nor need capacitance fall straight: C^power is taken as straight over weighted age. 1 is a straight fall, 0 (the
 * logarithm) one by the same share each year, over 1 one that quickens.
 */
export const shapes = [
  { power: 0, prior: 0.35 },
  { power: 0.5, prior: 0.15 },
  { power: 1, prior: 0.4 },
  { power: 1.5, prior: 0.1 },
];

const year_s = 365.25 * 86400;

/**
 * Nor need it keep its pace: about one module of eight is believed to have changed it once, at any place alike, by
 * something like 12 % of its capacitance a year of weighted age, faster or slower. COMMON PRACTICE, no source.
 */
export const paceChange = {
  prior: 0.12,
  perSecond: 0.12 / year_s,
  shapes: [
    { power: 0, prior: 0.4 },
    { power: 1, prior: 0.6 },
  ],
};

/** Bins at which the pace may have changed: it takes two before and four from there on, and neighbours are not told apart. */
export function placesOfChange(bins: number): number[] {
  const places = [];
  for (let bin = bins - 4; bin >= 2; bin -= 2) places.push(bin);
  return places;
}

/** Weighted age by one belief about the doubling, over the bins of tests. */
export interface Axis {
  calendar: AgeingCalendar;
  now: number;
  x: Float64Array;
  prior: number;
}

/** A capacitance on the scale on which its fall is straight, and back. */
export const bent = (value: number, power: number): number =>
  power === 0 ? Math.log(value) : value ** power;
export const straightened = (value: number, power: number): number =>
  power === 0 ? Math.exp(value) : value > 0 ? value ** (1 / power) : 0;
