/** Limits of the published indices and of the verdict that is taken from all of them. */
export const oscillationLimits = {
  falseAlarm: 1e-5,
  leastFraction: 0.08,
  thornhill: 1,
  miaoSeborg: 0.5,
  forsmanStattin: 0.4,
  haegglund: 0.6,
  phaseConcentration: 0.8,
  sparseFraction: 0.4,
} as const;
