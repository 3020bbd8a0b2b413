import { ArgumentError } from '../../units/errors.js';

/** How long one part was watched, in whatever unit of time all parts share. */
export interface Lifetime {
  /** Age at which watching began; later than 0 where the part was already old (delayed entry). */
  entry: number;
  /** Age at which it failed or was last seen. */
  exit: number;
  /** It failed at `exit`; otherwise it is censored there. */
  failed: boolean;
}

/** Throws `ArgumentError` for a lifetime that ends before it begins or is not a number. */
export function checkLifetimes(lifetimes: readonly Lifetime[]): void {
  for (const { entry, exit } of lifetimes)
    if (!(Number.isFinite(entry) && Number.isFinite(exit) && entry >= 0 && exit > entry))
      throw new ArgumentError(
        'lifetimes',
        `must each end after they begin, at 0 or later: ${entry} .. ${exit}`,
      );
}

/** Ages at which something failed, ascending, with the failures there and the parts at risk: watched before and until then. */
export function failureTimes(
  lifetimes: readonly Lifetime[],
): { age: number; failures: number; atRisk: number }[] {
  const entries = Float64Array.from(lifetimes, ({ entry }) => entry).sort();
  const exits = Float64Array.from(lifetimes, ({ exit }) => exit).sort();
  const failures = new Map<number, number>();
  for (const { exit, failed } of lifetimes) if (failed) failures.set(exit, (failures.get(exit) ?? 0) + 1);
  let entered = 0;
  let left = 0;
  return [...failures]
    .sort(([a], [b]) => a - b)
    .map(([age, count]) => {
      while (entered < entries.length && entries[entered]! < age) entered++;
      while (left < exits.length && exits[left]! < age) left++;
      return { age, failures: count, atRisk: entered - left };
    });
}
