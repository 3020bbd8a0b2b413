import { paceChange, shapes } from './model-priors.js';

/** Ways in which capacitance falls over age weighted for temperature. */
export const ageingKinds = [
  'constant-fraction',
  'slowing',
  'straight',
  'quickening',
  'root-of-age',
  'change-of-pace',
  'change-of-fraction',
] as const;
export type AgeingKind = (typeof ageingKinds)[number];

/** How probable each way is before a module's own tests are looked at; adds up to one. */
export type AgeingBelief = Readonly<Record<AgeingKind, number>>;

/**
 * Belief about a module of which nothing but its own tests is known. Nothing goes to the square root of age: from a
 * year of tests it cannot be told from a change of pace, and most modules would be given dates that are too late.
 */
export const usualBelief: AgeingBelief = {
  'constant-fraction': 0,
  slowing: 0,
  straight: 0,
  quickening: 0,
  'root-of-age': 0,
  ...Object.fromEntries(shapes.map(({ kind, prior }) => [kind, (1 - paceChange.prior) * prior])),
  'change-of-pace': 0,
  'change-of-fraction': 0,
  ...Object.fromEntries(paceChange.shapes.map(({ kind, prior }) => [kind, paceChange.prior * prior])),
};
