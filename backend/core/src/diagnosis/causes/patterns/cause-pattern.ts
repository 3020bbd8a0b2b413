import type { Channel } from '../../../normal/plateaus/channels.js';
import type { ChannelMoves } from '../../../normal/quantities/day-to-day.js';
import type { Cause } from '../../cause.js';

/**
 * What a cause does to the channels of a plateau at one unit of severity, at the same load, water and condenser
 * conditions; and how unsure that is, one standard deviation each. Effects grow with severity.
 */
export interface CausePattern {
  cause: Cause;
  /** Tells patterns of one cause apart: where a charge that is off shows. */
  form?: string;
  /** The channel that reads wrong, for `sensor-wrong`. */
  channel?: Channel;
  moves: ChannelMoves;
  doubts: ChannelMoves;
  /** Doubts that move several channels together: an evaporating temperature takes pressure and suction with it. */
  jointDoubts?: ChannelMoves[];
  /** Severity before anything is seen: log-normal, by its median and the standard deviation of its logarithm. */
  severity: { median: number; spread: number };
  /** The cause can move things either way: a sensor reads high or low. */
  eitherWay: boolean;
  /** Prior probability among all patterns. */
  prior: number;
}
