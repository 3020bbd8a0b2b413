import { bilinearForm, filled, fitLinear } from '../../../numerics/index.js';

/** Temperature at which a day counts as a day. */
export const referenceTemperature_K = 298.15;
const year_s = 365.25 * 86400;

/** Age in seconds at the reference temperature, from the first time on, by trapezoids between the times given. */
export function weightedAge(time_s: ArrayLike<number>, rates: ArrayLike<number>): Float64Array {
  const n = time_s.length;
  const age = new Float64Array(n);
  for (let i = 1; i < n; i++)
    age[i] = age[i - 1]! + ((rates[i]! + rates[i - 1]!) / 2) * (time_s[i]! - time_s[i - 1]!);
  return age;
}

/** Speed of ageing against the reference temperature: doubles per `doubling_K`. COMMON PRACTICE, no source. */
export const ageingRateAt = (temperature_K: number, doubling_K: number): number =>
  Math.exp((Math.LN2 / doubling_K) * (temperature_K - referenceTemperature_K));

export const ageingRates = (temperature_K: Float64Array, doubling_K: number): Float64Array =>
  filled(temperature_K.length, (i) => ageingRateAt(temperature_K[i]!, doubling_K));

/** Cosine and sine of the season at each time, counted from the first. */
export interface Seasons {
  cosine: Float64Array;
  sine: Float64Array;
}

const omega = (2 * Math.PI) / year_s;

export const seasonsOf = (time_s: ArrayLike<number>): Seasons => ({
  cosine: filled(time_s.length, (i) => Math.cos(omega * (time_s[i]! - time_s[0]!))),
  sine: filled(time_s.length, (i) => Math.sin(omega * (time_s[i]! - time_s[0]!))),
});

/** Weighted age put into calendar time after the last of the given times. */
export interface AgeingCalendar {
  /** Seconds from the last time until so much weighted age has been added, if the seasons go as expected. */
  timeUntil_s(added_s: number): number;
  /** Weighted seconds per second, on average over a year to come. */
  meanRate: number;
  /** Relative standard uncertainty of the age added over so many seconds ahead. */
  spread(ahead_s: number): number;
}

/** One year differs from the next by about 0.7 K in its mean: COMMON PRACTICE, no source. */
const yearSpread = 0.05;
const month_s = 30 * 86400;
const yearParts = 72;

/** The speed of ageing over a year to come. */
interface SeasonToCome {
  rate(time_s: number): number;
  /** Relative deviation of months from it. */
  monthSpread: number;
  /** Covariance of the mean, cosine and sine of ln rate, rows one after the other; null where a year was seen. */
  covariance: Float64Array | null;
}

/**
 * What the seasons to come add: the first harmonic of the ageing rate once more each year, with the weather about it
 * as an uncertainty that averages out over the months. Where less than a year was seen, the harmonic is uncertain too: what it adds
 * over a span ahead is known as well as that span's part of the year was seen.
 */
export function ageingCalendar(
  time_s: ArrayLike<number>,
  age_s: ArrayLike<number>,
  rates: Float64Array,
  seasons: Seasons,
): AgeingCalendar {
  const n = time_s.length;
  const span_s = n > 1 ? time_s[n - 1]! - time_s[0]! : 0;
  if (span_s <= 0) return { timeUntil_s: (added_s) => added_s, meanRate: 1, spread: () => 0.35 };
  const seen = span_s / year_s >= 0.98 && n >= 24 ? seasonOf(time_s, rates, seasons) : null;
  const season = seen ?? seasonFromPart(time_s, rates, seasons);
  if (!season) {
    const meanRate = age_s[n - 1]! / span_s;
    return { timeUntil_s: (added_s) => added_s / meanRate, meanRate, spread: () => 0.35 };
  }
  // Age added by each of the parts of the year that begins at the last time.
  const part_s = year_s / yearParts;
  const at = new Float64Array(yearParts + 1);
  const added = new Float64Array(yearParts + 1);
  const middle = (i: number) => time_s[n - 1]! + (i - 0.5) * part_s;
  for (let i = 1; i <= yearParts; i++) {
    at[i] = i * part_s;
    added[i] = added[i - 1]! + part_s * season.rate(middle(i));
  }
  const perYear_s = added[yearParts]!;
  const harmonicSpread = season.covariance
    ? harmonicSpreadOf(season.covariance, added, at, (i) => omega * (middle(i) - time_s[0]!))
    : () => 0;
  return {
    timeUntil_s: (added_s) => {
      if (!(added_s > 0)) return 0;
      const years = Math.floor(added_s / perYear_s);
      return years * year_s + interpolate(added, at, added_s - years * perYear_s);
    },
    meanRate: perYear_s / year_s,
    spread: (ahead_s) =>
      Math.hypot(
        yearSpread,
        season.monthSpread * Math.sqrt(month_s / Math.max(month_s / 6, ahead_s)),
        harmonicSpread(ahead_s),
      ),
  };
}

/**
 * Relative standard uncertainty of the age added over so many seconds, from that of the mean, cosine and sine of ln rate:
 * the age's derivatives by these, added up over the parts of the year, by the covariance (propagation of uncertainty: GUM,
 * JCGM 100:2008, 5.2.2).
 *
 * @param added age added up to the end of each part, which ends `at` so many seconds; `phase` is the season in its middle.
 */
function harmonicSpreadOf(
  covariance: Float64Array,
  added: Float64Array,
  at: Float64Array,
  phase: (part: number) => number,
): (ahead_s: number) => number {
  const [cosine, sine] = [new Float64Array(added.length), new Float64Array(added.length)];
  for (let i = 1; i < added.length; i++) {
    const own = added[i]! - added[i - 1]!;
    cosine[i] = cosine[i - 1]! + own * Math.cos(phase(i));
    sine[i] = sine[i - 1]! + own * Math.sin(phase(i));
  }
  return (ahead_s) => {
    const span_s = Math.max(at[1]!, ahead_s);
    const years = Math.floor(span_s / year_s);
    const slopes = [added, cosine, sine].map(
      (sums) => years * sums.at(-1)! + interpolate(at, sums, span_s - years * year_s),
    );
    return Math.sqrt(Math.max(0, bilinearForm(covariance, slopes, slopes))) / slopes[0]!;
  };
}

/**
 * Of a season that was not seen: cosine and sine of ln rate scatter about none by so much, a swing of some 5 K where life doubles
 * per 10 K. COMMON PRACTICE, no source.
 */
const swingPrior = 0.3;
/** Months deviate from the season by so much where they cannot be compared with it. COMMON PRACTICE, no source. */
const usualMonthSpread = 0.15;

/** First harmonic of ln rate where less than a year was seen, held near none by what is usual (Bayesian linear regression). */
function seasonFromPart(
  time_s: ArrayLike<number>,
  rates: Float64Array,
  { cosine, sine }: Seasons,
): SeasonToCome | null {
  const n = time_s.length;
  // Tests within a month share its weather.
  const months = Math.min(n, Math.max(1, (time_s[n - 1]! - time_s[0]!) / month_s));
  const weight = months / n / usualMonthSpread ** 2;
  const precision = 1 / swingPrior ** 2;
  const fit = fitLinear(
    [new Float64Array(n).fill(1), Float64Array.from(cosine), Float64Array.from(sine)],
    rates.map(Math.log),
    new Float64Array(n).fill(weight),
    [1, 2].map((index) => ({ index, mean: 0, precision })),
  );
  if (!fit) return null;
  const [mean, b, c] = fit.coefficients as unknown as [number, number, number];
  let [seen, expected] = [0, 0];
  for (let i = 0; i < n; i++) {
    seen += rates[i]!;
    expected += Math.exp(mean + b * cosine[i]! + c * sine[i]!);
  }
  return {
    // The weather within the months raises the mean of the rates over the rate of the mean.
    rate: (t) =>
      (seen / expected) *
      Math.exp(mean + b * Math.cos(omega * (t - time_s[0]!)) + c * Math.sin(omega * (t - time_s[0]!))),
    monthSpread: usualMonthSpread,
    covariance: fit.inverse,
  };
}

/** First harmonic of the ageing rate over the year, and the relative deviation of months from it. */
function seasonOf(
  time_s: ArrayLike<number>,
  rates: Float64Array,
  { cosine, sine }: Seasons,
): SeasonToCome | null {
  const n = time_s.length;
  const fit = fitLinear([new Float64Array(n).fill(1), cosine, sine], rates);
  if (!fit) return null;
  const mean = fit.coefficients[0]!;
  const amplitude = Math.hypot(fit.coefficients[1]!, fit.coefficients[2]!);
  const shrink = Math.min(1, (0.9 * mean) / Math.max(1e-12, amplitude));
  const b = fit.coefficients[1]! * shrink;
  const c = fit.coefficients[2]! * shrink;
  const rate = (t: number) =>
    mean + b * Math.cos(omega * (t - time_s[0]!)) + c * Math.sin(omega * (t - time_s[0]!));
  let squares = 0;
  let months = 0;
  let sum = 0;
  let count = 0;
  let monthEnd = time_s[0]! + month_s;
  for (let i = 0; i < n; i++) {
    if (time_s[i]! >= monthEnd && count > 0) {
      squares += (sum / count) ** 2;
      months++;
      sum = 0;
      count = 0;
      while (time_s[i]! >= monthEnd) monthEnd += month_s;
    }
    sum += rates[i]! / (mean + b * cosine[i]! + c * sine[i]!) - 1;
    count++;
  }
  return {
    rate,
    monthSpread: months > 3 ? Math.sqrt(squares / (months - 3)) : usualMonthSpread,
    covariance: null,
  };
}

/** Piecewise linear y at `at`, x ascending; held at the ends. */
function interpolate(x: ArrayLike<number>, y: ArrayLike<number>, at: number): number {
  const n = x.length;
  if (at <= x[0]!) return y[0]!;
  if (at >= x[n - 1]!) return y[n - 1]!;
  let low = 0;
  let high = n - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (x[middle]! <= at) low = middle;
    else high = middle;
  }
  const run = x[high]! - x[low]!;
  return run > 0 ? y[low]! + ((at - x[low]!) / run) * (y[high]! - y[low]!) : y[low]!;
}
