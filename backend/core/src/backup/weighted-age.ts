/** Temperature at which a day counts as a day. */
export const referenceTemperature_K = 298.15;
const year_s = 365.25 * 86400;

/** Speed of ageing against the reference temperature: doubles per `doubling_K`. COMMON PRACTICE, no source. */
export const ageingRate = (temperature_K: number, doubling_K: number): number =>
  2 ** ((temperature_K - referenceTemperature_K) / doubling_K);

/** Age in seconds at the reference temperature, from the first time on, by trapezoids between the times given. */
export function weightedAge(
  time_s: ArrayLike<number>,
  temperature_K: ArrayLike<number>,
  doubling_K: number,
): Float64Array {
  const n = time_s.length;
  const age = new Float64Array(n);
  let previous = n > 0 ? ageingRate(temperature_K[0]!, doubling_K) : 0;
  for (let i = 1; i < n; i++) {
    const rate = ageingRate(temperature_K[i]!, doubling_K);
    age[i] = age[i - 1]! + ((rate + previous) / 2) * (time_s[i]! - time_s[i - 1]!);
    previous = rate;
  }
  return age;
}

/** Weighted age put into calendar time after the last of the given times. */
export interface AgeingCalendar {
  /** Seconds from the last time until so much weighted age has been added. */
  timeUntil_s(added_s: number): number;
  /** Weighted seconds per second, on average over a year to come. */
  meanRate: number;
  /** One standard uncertainty of the mean rate, as a share of it. */
  rateSpread: number;
}

/**
 * What the seasons to come add: the last year once more, year by year, where a year was seen; its average rate where
 * less was seen, and then with an uncertainty for the seasons not seen (COMMON PRACTICE: about 12 K between the mean
 * of a half-year and that of the year is rare, so a third of the rate for no season seen, falling to 5 % for a year).
 */
export function ageingCalendar(time_s: ArrayLike<number>, age_s: ArrayLike<number>): AgeingCalendar {
  const n = time_s.length;
  const span_s = n > 1 ? time_s[n - 1]! - time_s[0]! : 0;
  if (span_s <= 0) return { timeUntil_s: (added_s) => added_s, meanRate: 1, rateSpread: 0.35 };
  const seen = Math.min(1, span_s / year_s);
  const rateSpread = 0.05 + 0.3 * (1 - seen);
  if (span_s < 0.98 * year_s) {
    const meanRate = age_s[n - 1]! / span_s;
    return { timeUntil_s: (added_s) => added_s / meanRate, meanRate, rateSpread };
  }
  const from_s = Math.max(time_s[0]!, time_s[n - 1]! - year_s);
  const first = interpolate(time_s, age_s, from_s);
  const perYear_s = age_s[n - 1]! - first;
  const length_s = time_s[n - 1]! - from_s;
  return {
    timeUntil_s: (added_s) => {
      if (!(added_s > 0)) return 0;
      const years = Math.floor(added_s / perYear_s);
      const target = first + (added_s - years * perYear_s);
      return years * length_s + interpolate(age_s, time_s, target) - from_s;
    },
    meanRate: perYear_s / length_s,
    rateSpread,
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
