/** The start failed in a way that a person can mend; the message says how. */
export class StartFailure extends Error {
  override name = 'StartFailure';
}
