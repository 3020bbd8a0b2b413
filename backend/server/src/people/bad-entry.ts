/** What was typed cannot be taken; says which field and why. */
export class BadEntryError extends Error {
  override name = 'BadEntryError';
  constructor(readonly errors: { name: string; reason: string }[]) {
    super(errors.map(({ name, reason }) => `${name}: ${reason}`).join('; '));
  }
}

/** Somebody else changed it in between; says what to do. */
export class ChangedMeanwhileError extends Error {
  override name = 'ChangedMeanwhileError';
}
