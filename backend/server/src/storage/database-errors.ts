/**
 * Whether the database refused what it was given, so that trying again cannot help: data exceptions and violated
 * constraints (classes 22 and 23 of PostgreSQL's error codes), and what `pg` itself cannot encode. All else (no
 * connection, shutting down, out of disk, deadlock) may pass.
 */
export function isDataError(error: unknown): boolean {
  const code = (error as { code?: unknown }).code;
  if (typeof code === 'string' && code.length === 5) return code.startsWith('22') || code.startsWith('23');
  return error instanceof RangeError || error instanceof TypeError;
}
