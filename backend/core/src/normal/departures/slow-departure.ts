/** A sum of departures that has passed its limit, and since when it grew. */
export interface SlowDeparture {
  direction: 'up' | 'down';
  /** Place of the first value of the run that led over the limit. */
  began: number;
  /** Place at which the limit was passed. */
  passed: number;
}

/** Departures up to half a standard uncertainty are allowed for. */
const allowed = 0.5;
/** Eight: one false alarm in some 9,500 normal values, both sides together (`valuesBetweenAlarms`). */
export const slowLimit = 8;

/**
 * Looks for a slow departure in a series of standardised ones (independent, of normal running with mean 0 and standard
 * deviation 1 at most) by the two-sided cumulative sum of Page 1954 (Biometrika 41:100) with allowance 1/2. Values over 4
 * count as 4, so that a single odd one does not pass the limit; missing ones are passed over. Null where the limit is
 * never passed.
 */
export function slowDeparture(z: readonly number[], limit = slowLimit): SlowDeparture | null {
  const sums = { up: 0, down: 0 };
  const began = { up: 0, down: 0 };
  for (let i = 0; i < z.length; i++) {
    if (!Number.isFinite(z[i])) continue;
    const value = Math.max(-4, Math.min(4, z[i]));
    for (const direction of ['up', 'down'] as const) {
      if (sums[direction] === 0) began[direction] = i;
      const signed = direction === 'up' ? value : -value;
      sums[direction] = Math.max(0, sums[direction] + signed - allowed);
      if (sums[direction] > limit) return { direction, began: began[direction], passed: i };
    }
  }
  return null;
}

/**
 * Normal values between two false alarms on average, both sides together: half of Siegmund's approximation for one side,
 * (exp(2 k b) - 2 k b - 1)/(2 k^2) with b = limit + 1.166 (Siegmund 1985, Sequential Analysis). Within some per cent.
 */
export function valuesBetweenAlarms(limit: number): number {
  const b = limit + 1.166;
  return (Math.exp(2 * allowed * b) - 2 * allowed * b - 1) / (2 * allowed ** 2) / 2;
}
