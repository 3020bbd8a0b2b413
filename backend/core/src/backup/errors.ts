/** An argument that cannot be used: wrong length, not finite, out of order, out of range. */
export class BackupInputError extends Error {
  override name = 'BackupInputError';
  constructor(
    readonly argument: string,
    problem: string,
  ) {
    super(`${argument} ${problem}`);
  }
}

export function requirePositive(argument: string, value: number): void {
  if (!(value > 0) || !Number.isFinite(value)) throw new BackupInputError(argument, 'must be greater than 0');
}

export function requireNotNegative(argument: string, value: number): void {
  if (!(value >= 0) || !Number.isFinite(value)) throw new BackupInputError(argument, 'must not be negative');
}
