/** "Life doubles per 10 K" is itself uncertain: factors on the 10 K, with the prior probability of each. */
export const doublings = [
  { factor: 0.8, prior: 0.25 },
  { factor: 1, prior: 0.5 },
  { factor: 1.25, prior: 0.25 },
];
/** Index of the doubling used where something else is far less certain. */
export const usualDoubling = 1;

/**
 * Capacitance need not fall in a straight line either: C^power is taken as linear in weighted age. 1 is a linear fall,
 * 0 (the logarithm) a fall by the same fraction each year, over 1 a fall that quickens.
 */
export const shapes = [
  { kind: 'constant-fraction', power: 0, prior: 0.35 },
  { kind: 'slowing', power: 0.5, prior: 0.15 },
  { kind: 'straight', power: 1, prior: 0.4 },
  { kind: 'quickening', power: 1.5, prior: 0.1 },
] as const;

const year_s = 365.25 * 86400;

/**
 * Nor need ageing keep its pace: one module in eight or so is expected to have changed it once, at any bin with the
 * same probability, by about 12 % of its capacitance per year of weighted age, faster or slower. COMMON PRACTICE, no
 * source.
 */
export const paceChange = {
  prior: 0.12,
  perSecond: 0.12 / year_s,
  shapes: [
    { kind: 'change-of-fraction', power: 0, prior: 0.4 },
    { kind: 'change-of-pace', power: 1, prior: 0.6 },
  ],
} as const;

/** Bins at which the pace may change: a line needs two bins before and four from there on, and every second bin is fine enough. */
export function changePoints(bins: number): number[] {
  const points = [];
  for (let bin = bins - 4; bin >= 2; bin -= 2) points.push(bin);
  return points;
}
