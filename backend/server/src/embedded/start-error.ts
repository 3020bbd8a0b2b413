/** Something a person can put right before starting again; the message is one line that says what to change. */
export class StartError extends Error {
  override name = 'StartError';
}
