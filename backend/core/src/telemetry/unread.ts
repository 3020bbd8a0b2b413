/** Why something could not be read: a code to group by, which does not change. */
export const unreadReasons = [
  'unknown-topic',
  'unknown-site',
  'unknown-unit',
  'unknown-circuit',
  'unknown-module',
  'too-large',
  'not-text',
  'not-json',
  'not-senml',
  'empty',
  'unknown-name',
  'wrong-unit',
  'wrong-type',
  'out-of-range',
  'time-in-future',
  'time-too-old',
  'closing-too-long',
  // Sparkplug B:
  'not-sparkplug',
  'before-birth',
  'sequence-gap',
] as const;
export type UnreadReason = (typeof unreadReasons)[number];

export interface Rejection {
  /** Of the first record that could not be read, or of the whole message. */
  reason: UnreadReason;
  /** A sentence for a person. */
  detail: string;
  /** Records not taken; the whole pack where nothing was. */
  records: number;
}

/** Time steps of one subject as columns; a missing value is NaN. Times may repeat or run backwards as sent. */
export interface PackRows {
  length: number;
  /** Whole milliseconds since the Unix epoch: a row sent twice with different rounding must have the same key. */
  time_ms: Float64Array;
  /** In the order of the subject's gates; true and false are 1 and 0. */
  columns: Float64Array[];
}

export interface DecodeLimits {
  /** Receiver's clock, seconds since the Unix epoch; relative times count from it. */
  now_s: number;
  /** How far a sender's clock may be ahead. */
  futureTolerance_s: number;
  /** Older telemetry is refused. */
  oldest_s: number;
}
