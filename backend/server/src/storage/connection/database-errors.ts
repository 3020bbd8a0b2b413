/**
 * Whether the database could not be reached or could not do it now, so that the same again may work later: classes 08
 * (connection), 25006 (read only, after a failover), 40 (deadlock, serialisation), 53 (out of memory, disk,
 * connections), 55 (locks), 57 (shutting down, cancelled), 58 (system) and XX (internal) of PostgreSQL's error codes,
 * what sockets report, and what `pg` itself says of a connection that ended. All else, an error of ours or data that
 * the database refuses, fails again however often it is tried.
 */
export function mayPass(error: unknown): boolean {
  const { code, message } = error as { code?: unknown; message?: unknown };
  if (typeof code === 'string') {
    if (code.length === 5 && /^[0-9A-Z]{5}$/.test(code) && !code.startsWith('E'))
      return /^(08|40|53|55|57|58|XX)/.test(code) || code === '25006';
    return /^(E[A-Z_]+|ERR_SOCKET\w*|ERR_STREAM_PREMATURE_CLOSE|ERR_STREAM_DESTROYED)$/.test(code);
  }
  return (
    typeof message === 'string' &&
    /connection terminated|connection ended|timeout exceeded when trying to connect|client has encountered a connection error|Client was closed|not queryable|pool after calling end/i.test(
      message,
    )
  );
}

/** In a word for a person, without the stack. */
export const reasonOf = (error: unknown): string =>
  error instanceof Error ? `${error.name}: ${error.message}`.slice(0, 500) : String(error).slice(0, 500);
