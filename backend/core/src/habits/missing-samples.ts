import { quantileSorted, spacingsOf } from '../numerics/index.js';

/** One hour of a circuit's telemetry: how many samples came, and how many its even spacing promises. */
export interface HourOfSamples {
  /** Start of the hour, s since the epoch. */
  hour_s: number;
  received: number;
  expected: number;
}

const hour_s = 3600;
const fewestSpacings = 20;
/** So many spacings are single steps where telemetry is sampled evenly, also with a third of it lost. */
const leastSingle = 0.6;
/** A spacing is a whole number of steps within this part of a step, for so many of the spacings. */
const offStep = 0.25;
const leastWhole = 0.95;

/**
 * The step at which a signal is sampled, s, also where samples are missing: most spacings are one step, the others a
 * whole number of steps. Null where there are too few samples or no such step, as with what is sent on change. The
 * limits are the project's own choice.
 */
export function samplingStep_s(time_s: ArrayLike<number>): number | null {
  const n = time_s.length - 1;
  if (n < fewestSpacings) return null;
  const spacings = spacingsOf(time_s);
  const sorted = spacings.slice().sort();
  const near = quantileSorted(sorted, 0.25);
  if (!(near > 0)) return null;
  const single = sorted.filter((spacing) => spacing > 0.5 * near && spacing <= 1.5 * near);
  if (single.length < leastSingle * n) return null;
  const step = quantileSorted(single, 0.5);
  let whole = 0;
  for (const spacing of spacings) {
    const steps = spacing / step;
    if (steps > 0.5 && Math.abs(steps - Math.round(steps)) <= offStep) whole++;
  }
  return whole >= leastWhole * n ? step : null;
}

export interface AroundSamples {
  /** Time of the last sample before the span; null: none ever came, so that the first one begins the telemetry. */
  before_s: number | null;
  /** Whether a sample is known after the span; where there is none, the last one may be the end. */
  after: boolean;
}

/** Hours without any sample before the span are told up to this long back, s. */
const longestGap_s = 7 * 86_400;

/**
 * Compares what came with what the sampling step promises, hour by hour: over the span, and over the whole hours that
 * nothing came in before it. What lies before the first or after the last sample of all is not promised.
 *
 * @param time_s rising times of the samples of one signal, all within the span
 * @param span whole hours, s since the epoch
 * @returns null where the telemetry is not sampled evenly, so that nothing is promised
 */
export function hoursOfSamples(
  time_s: ArrayLike<number>,
  span: { from_s: number; to_s: number },
  { before_s, after }: AroundSamples,
): HourOfSamples[] | null {
  const step = samplingStep_s(time_s);
  if (step === null) return null;
  const first_s = time_s[0];
  const last_s = time_s[time_s.length - 1];
  const hours: HourOfSamples[] = [];
  if (before_s !== null) {
    const silent_s = Math.max((Math.floor(before_s / hour_s) + 1) * hour_s, span.from_s - longestGap_s);
    for (let at_s = silent_s; at_s < span.from_s; at_s += hour_s)
      hours.push({ hour_s: at_s, received: 0, expected: Math.round(hour_s / step) });
  }
  let i = 0;
  for (let at_s = span.from_s; at_s < span.to_s; at_s += hour_s) {
    const from_s = before_s === null ? Math.max(at_s, first_s) : at_s;
    const to_s = after ? at_s + hour_s : Math.min(at_s + hour_s, last_s + step);
    const begun = i;
    while (i < time_s.length && time_s[i] < at_s + hour_s) i++;
    hours.push({
      hour_s: at_s,
      received: i - begun,
      expected: Math.max(0, Math.round((to_s - from_s) / step)),
    });
  }
  return hours;
}

/** Samples that did not come; 0 where so few are missing that the clock of the sender may explain it. */
export function missingSamples({ received, expected }: HourOfSamples): number {
  const missing = expected - received;
  return missing > Math.max(2, 0.02 * expected) ? missing : 0;
}
