import type { ClosingJudgement } from '../../backup/index.js';
import { medianInPlace } from '../../numerics/index.js';

/** The newest closings that count. */
const newest = 10;
/** From under this opening the drive's start and overdrive are most of the time. Judgement, no source. */
const leastOpening_pct = 20;

/**
 * How long the module takes to shut the valve from fully open, s: of each closing that ended shut the time until then
 * over the opening it began at, as steps go at a constant rate; the median of the newest ten. Null where none tells.
 *
 * @param closings in time order.
 */
export function closingTimeFromOpen_s(closings: readonly ClosingJudgement[]): number | null {
  const times = closings
    .filter(
      ({ proof, timeToShut_s, openingBefore_pct }) =>
        proof && timeToShut_s !== null && (openingBefore_pct ?? 0) >= leastOpening_pct,
    )
    .slice(-newest)
    .map(({ timeToShut_s, openingBefore_pct }) => (100 * timeToShut_s!) / openingBefore_pct!);
  return times.length === 0 ? null : medianInPlace(Float64Array.from(times));
}
