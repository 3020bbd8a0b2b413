import { AsyncLocalStorage } from 'node:async_hooks';
import { setImmediate } from 'node:timers/promises';

/** Nobody waits for the answer any more. */
export class NotAskedAnyMoreError extends Error {
  override name = 'NotAskedAnyMoreError';
  constructor() {
    super('Nobody waits for this answer any more.');
  }
}

const asking = new AsyncLocalStorage<AbortSignal>();

/** Runs what answers a question; `pause` and `askedBy` of all that it calls know the signal by which the asker leaves. */
export const whileAsked = <Result>(signal: AbortSignal, answer: () => Result): Result =>
  asking.run(signal, answer);

/** The signal by which who asks leaves; undefined: whoever asks stays. */
export const askedBy = (): AbortSignal | undefined => asking.getStore();

/**
 * Between two parts of a long computation: others have their turn.
 *
 * @throws NotAskedAnyMoreError where who asked has left meanwhile
 */
export async function pause(): Promise<void> {
  await setImmediate();
  if (askedBy()?.aborted) throw new NotAskedAnyMoreError();
}
