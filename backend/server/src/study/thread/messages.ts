/** What the process asks of the thread. Every call has a number, by which all that belongs to it is told. */
export type ToThread =
  | { kind: 'call'; id: number; service: string; method: string; args: unknown[] }
  /** The next rows of a table that a call gave. */
  | { kind: 'more'; id: number }
  /** Nobody waits for the answer any more. */
  | { kind: 'cancel'; id: number }
  | { kind: 'end' };

/** What the thread answers. */
export type FromThread =
  | { kind: 'answer'; id: number; value: unknown }
  /** A table, whose rows are asked for. */
  | { kind: 'table'; id: number; name: string; columns: string[] }
  | { kind: 'rows'; id: number; rows: unknown[][]; done: boolean }
  | { kind: 'error'; id: number; error: ToldError };

/** An error as it goes from one thread to the other: its class would be lost on the way. */
export interface ToldError {
  name: string;
  message: string;
  stack: string | undefined;
  /** Of PostgreSQL and of the system. */
  code: string | undefined;
}

export const toldError = (error: unknown): ToldError => {
  const { name, message, stack } = error instanceof Error ? error : new Error(String(error));
  const { code } = (error ?? {}) as { code?: unknown };
  return { name, message, stack, code: typeof code === 'string' ? code : undefined };
};
