const minute_s = 60;
const hour_s = 3600;

/**
 * How long to wait after each failure. Judgement: the first tries bridge a restart, the last a night; what is not taken
 * by then, 20 h after the first try, is given up and waits for a person.
 */
const waits_s = [30, 2 * minute_s, 8 * minute_s, 32 * minute_s, 2 * hour_s, 6 * hour_s, 12 * hour_s];

/** Seconds until the next try after so many have failed; null: there is none. */
export const waitAfter_s = (failures: number): number | null => waits_s[failures - 1] ?? null;

/** The other side has answered that it will never take this: trying again is of no use. */
export class RefusedForGoodError extends Error {
  override name = 'RefusedForGoodError';
}
