/** An argument lies outside the range for which the function is valid. */
export class OutOfRangeError extends RangeError {
  override name = 'OutOfRangeError';
  constructor(
    /** Name of the argument, as the function declares it. */
    readonly argument: string,
    readonly value: number,
    readonly minimum: number,
    readonly maximum: number,
    /** Where the limits come from, e.g. `R134a, dew side`. */
    context = '',
  ) {
    super(`${argument} = ${value} is outside ${minimum} .. ${maximum}${context ? ` (${context})` : ''}`);
  }
}

/** An argument cannot be used at all: wrong kind, wrong shape, or a contradiction. */
export class ArgumentError extends TypeError {
  override name = 'ArgumentError';
  constructor(
    readonly argument: string,
    problem: string,
  ) {
    super(`${argument} ${problem}`);
  }
}
