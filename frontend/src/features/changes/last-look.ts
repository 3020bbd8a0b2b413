const key = 'coldrounds.looked';
/** A look again within this time belongs to the same look. */
const pause_ms = 30 * 60_000;

interface Looks {
  /** When the look before this one ended, ms. */
  before: number | null;
  last: number;
}

function read(): Looks | null {
  try {
    const looks = JSON.parse(localStorage.getItem(key) ?? 'null') as Partial<Looks> | null;
    return looks !== null && Number.isFinite(looks.last)
      ? { before: Number.isFinite(looks.before) ? looks.before! : null, last: looks.last! }
      : null;
  } catch {
    return null; // Storage can be refused, or hold something else.
  }
}

/**
 * When this reader last looked at the round on this device, ms; null: never, as far as is known. Notes that it is looked
 * at now: half an hour after the last time a new look begins.
 */
export function lastLook(now_ms: number): number | null {
  const known = read();
  const before = known === null ? null : now_ms - known.last > pause_ms ? known.last : known.before;
  try {
    localStorage.setItem(key, JSON.stringify({ before, last: now_ms }));
  } catch {
    // Then each look is the first.
  }
  return before;
}
