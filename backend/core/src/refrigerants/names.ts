/** There is no table of this name; `nearest` are those that come closest. */
export class UnknownRefrigerantError extends Error {
  override name = 'UnknownRefrigerantError';
  readonly argument = 'refrigerant';
  constructor(
    readonly refrigerant: string,
    readonly nearest: string[],
  ) {
    super(`refrigerant "${refrigerant}" is not known; nearest: ${nearest.join(', ')}`);
  }
}

/** What two spellings of one designation share: `R-134a`, `r134A` and `R 134a` are the same. */
export const nameKey = (name: string): string =>
  String(name)
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '');

/** Up to three known names nearest to a wrong one, by edit distance of their keys. */
export function matchName(wanted: string, known: readonly string[]): string[] {
  const key = nameKey(wanted);
  return known
    .map((name) => ({ name, distance: nameDistance(key, nameKey(name)) }))
    .sort((a, b) => a.distance - b.distance || (a.name < b.name ? -1 : 1))
    .slice(0, 3)
    .map((entry) => entry.name);
}

/** Edit distance, a missing or extra tail counted half: `1234ze` is nearer to `R1234ze(E)` than to `R1234yf`. */
function nameDistance(wanted: string, known: string): number {
  const core = wanted.startsWith('R') ? wanted : `R${wanted}`;
  return known.startsWith(core) ? (known.length - core.length) / 2 : editDistance(core, known);
}

/** Levenshtein distance: fewest single-character insertions, deletions and substitutions. */
export function editDistance(a: string, b: string): number {
  let previous = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const current = [i];
    for (let j = 1; j <= b.length; j++) {
      current[j] = Math.min(
        previous[j] + 1,
        current[j - 1] + 1,
        previous[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1),
      );
    }
    previous = current;
  }
  return previous[b.length];
}
