/** Bad input to a function over series; `argument` names what is wrong. */
export class SeriesError extends Error {
  override name = 'SeriesError';
  constructor(
    readonly argument: string,
    detail: string,
  ) {
    super(`${argument}: ${detail}`);
  }
}

/** Refuses columns of unlike length and times that are not finite and strictly increasing. */
export function checkSeries(time_s: ArrayLike<number>, columns: Record<string, ArrayLike<number>>): void {
  if (time_s === undefined || time_s === null || typeof time_s.length !== 'number')
    throw new SeriesError('time_s', 'must be a list of numbers');
  for (const [name, column] of Object.entries(columns)) {
    if (column === undefined || column === null || typeof column.length !== 'number')
      throw new SeriesError(name, 'must be a list of numbers');
    if (column.length !== time_s.length)
      throw new SeriesError(name, `has ${column.length} values for ${time_s.length} times`);
  }
  for (let i = 0; i < time_s.length; i++) {
    if (!Number.isFinite(time_s[i])) throw new SeriesError('time_s', `value ${i} is not a finite number`);
    if (i > 0 && !(time_s[i] > time_s[i - 1]))
      throw new SeriesError('time_s', `value ${i} does not come after the one before it`);
  }
}
