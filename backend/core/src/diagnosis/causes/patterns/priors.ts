/**
 * Prior probabilities among all patterns of causes that are weighed again across circuits or with a standstill: their share has to
 * be taken out there, so they are given here for both. Judgement, no source.
 */
export const priorOf = {
  'condenser-fouled': 0.16,
  'condenser-flow-low': 0.12,
  'evaporator-fouled': 0.06,
  'evaporator-flow-low': 0.1,
  'valve-leaks-by': 0.04,
} as const;
