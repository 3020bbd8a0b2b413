import { NoColdFileError, type ColdPlace } from './cold-place.js';

/**
 * Has a file at hand under the first of its names that is there; `use` is given none where there are no names.
 *
 * @throws NoColdFileError
 */
export async function readFileOf<Result>(
  place: ColdPlace,
  names: readonly string[],
  use: (path: string | null) => Promise<Result>,
  version?: number,
): Promise<Result> {
  if (names.length === 0) return use(null);
  for (const name of names.slice(0, -1))
    try {
      return await place.withFile(name, use, version);
    } catch (error) {
      if (!(error instanceof NoColdFileError)) throw error;
    }
  return place.withFile(names[names.length - 1], use, version);
}
