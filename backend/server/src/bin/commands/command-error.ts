/** A command cannot do what was asked; the message says why, without a stack. */
export class CommandError extends Error {
  override name = 'CommandError';
}
