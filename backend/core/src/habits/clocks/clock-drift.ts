import { fitLinear, median, studentQuantile } from '../../numerics/index.js';

/** The delay between two streams at some time. */
export interface DelayAt {
  at_s: number;
  delay_s: number;
}

/** Two clocks that run apart. */
export interface ClockDrift {
  /** By how much the clock of the stream that follows falls behind that of the one that leads in a day, with its standard uncertainty, s; negative: it gets ahead. */
  perDay_s: number;
  uncertainty_s: number;
  /** How far the clocks are apart at the newest time against what was usual before, s. */
  apart_s: number;
  /** From when to when the delay grew. */
  from_s: number;
  to_s: number;
  days: number;
}

const day_s = 86_400;
/** A drift shows over so many days at least. */
const fewestDays = 3;
/** A delay by cross-correlation of a day repeats itself to about this, s: what a few days tell of it is too little. It counts as much as so many days. Judgement, no source. */
const usualScatter_s = 10;
const usualDays = 4;
/** Chance of a slope that is none, all lengths together. */
const falseAlarms = 1e-4;
/** Other loads and flows, too, change a delay by less than this within days, s. Judgement, no source. */
const leastGrowth_s = 45;
/** What water may take to follow a circuit, s. Judgement, no source. */
const longestLag_s = 240;

/**
 * Whether a delay between two streams grows steadily up to now, as clocks of which one runs fast do. A physical lag depends
 * on load and flow but does not grow day by day without end.
 *
 * The newest 3, 4, … days are each fitted by a straight line, its scatter known from themselves and from what such delays
 * usually scatter by (four days' worth); the clearest slope is taken. It must pass the two-sided limit of Student's t at one
 * false alarm in ten thousand, shared among the lengths that were tried (Bonferroni), and grow to 45 s or more.
 *
 * @param delays one a day, oldest first
 * @example clockDrift([0, 1, 2, 3, 4].map((day) => ({ at_s: day * 86400, delay_s: 60 * day })))!.perDay_s // 60
 */
export function clockDrift(delays: readonly DelayAt[]): ClockDrift | null {
  let clearest: (ClockDrift & { over: number }) | null = null;
  const lengths = delays.length - fewestDays + 1;
  for (let length = fewestDays; length <= delays.length; length++) {
    const own = delays.slice(-length);
    const last = own[length - 1];
    const days = Float64Array.from(own, ({ at_s }) => (at_s - last.at_s) / day_s);
    const fit = fitLinear(
      [days.map(() => 1), days],
      Float64Array.from(own, ({ delay_s }) => delay_s),
    );
    if (fit === null) continue;
    const [end_s, perDay_s] = fit.coefficients;
    const mean = days.reduce((sum, day) => sum + day / length, 0);
    const spread = days.reduce((sum, day) => sum + (day - mean) ** 2, 0);
    const squares = own.reduce(
      (sum, { delay_s }, k) => sum + (delay_s - end_s - perDay_s * days[k]) ** 2,
      usualDays * usualScatter_s ** 2,
    );
    const degrees = usualDays + length - 2;
    const uncertainty_s = Math.sqrt(squares / degrees / spread);
    const over = Math.abs(perDay_s) / uncertainty_s / studentQuantile(1 - falseAlarms / 2 / lengths, degrees);
    if (over < (clearest?.over ?? 1) || Math.abs(perDay_s * days[0]) < leastGrowth_s) continue;
    const before = delays.slice(0, -length).map(({ delay_s }) => delay_s);
    const usual_s =
      before.length > 0 ? median(before) : Math.min(longestLag_s, Math.max(0, end_s + perDay_s * days[0]));
    clearest = {
      ...{ perDay_s, uncertainty_s, over },
      apart_s: end_s - usual_s,
      ...{ from_s: own[0].at_s, to_s: last.at_s, days: length },
    };
  }
  if (clearest === null) return null;
  const { over: _, ...drift } = clearest;
  return drift;
}
