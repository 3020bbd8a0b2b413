import { installedAt_s, type ModuleEntry } from '../../telemetry/index.js';
import { capacitanceAtReference_F, esrAtReference_Ohm, type NormalisedTests } from './normalised-tests.js';
import { medianInPlace, scaledMad } from '../../numerics/index.js';
import { monthStart_s } from '../../units/index.js';
import { ageingRateAt } from './temperature-law/index.js';

/** One module in one month, at 298.15 K and its usual current, as cohort plots and exports take it. */
export interface AgeingMonth {
  /** First instant of the calendar month (UTC). */
  month_s: number;
  /** Of the month's middle test since installation, days. */
  age_d: number;
  /** The same in days at 298.15 K, life doubling per 10 K (settings); `null` where no temperature was ever sent. */
  weightedAge_d: number | null;
  meanTemperature_K: number | null;
  /** Medians of the month. */
  capacitance_F: number;
  /** One standard uncertainty by the scatter of the month's tests; `null` for fewer than three. */
  capacitanceUncertainty_F: number | null;
  esr_Ohm: number | null;
  esrUncertainty_Ohm: number | null;
  /** Of the rated value. */
  relativeCapacitance: number;
  relativeEsr: number | null;
  tests: number;
}

const day_s = 86400;

/**
 * Capacitance and ESR of one module against its age: medians of each calendar month (UTC) with a comparable test, every
 * test brought to 298.15 K by the module's own law first. The months are in time order.
 *
 * Weighted age counts from installation: what passed before the first test counts as warm as the time since, because
 * modules would otherwise all be new on the day from which on they are watched.
 *
 * @example ageingMonths(normaliseTests(closings, 10)!, module, 10)[0] // { age_d: 20, capacitance_F: 0.9, tests: 22, ... }
 */
export function ageingMonths(
  all: NormalisedTests,
  module: ModuleEntry,
  lifeDoubling_K: number,
): AgeingMonth[] {
  const installed_s = installedAt_s(module);
  const before_s = (all.time_s[0]! - installed_s) * meanRate(all, lifeDoubling_K);
  const n = all.tests.length;
  const months: AgeingMonth[] = [];
  for (let from = 0, to = 0; from < n; from = to) {
    const month_s = monthStart_s(all.time_s[from]!);
    const next_s = monthStart_s(month_s, 1);
    while (to < n && all.time_s[to]! < next_s) to++;
    const middle = (from + to) >> 1;
    const capacitance = new Float64Array(to - from);
    const esr = new Float64Array(to - from);
    let esrs = 0;
    let warmth_K = 0;
    let warm = 0;
    for (let i = from; i < to; i++) {
      capacitance[i - from] = capacitanceAtReference_F(all, i);
      const one = esrAtReference_Ohm(all, i);
      if (one !== null) esr[esrs++] = one;
      const temperature_K = all.tests[i]!.temperature_K;
      if (temperature_K === null) continue;
      warmth_K += temperature_K;
      warm++;
    }
    const capacitance_F = medianInPlace(capacitance);
    const esr_Ohm = esrs > 0 ? medianInPlace(esr, esrs) : null;
    months.push({
      month_s,
      age_d: (all.time_s[middle]! - installed_s) / day_s,
      weightedAge_d: all.temperaturesKnown > 0 ? (before_s + all.weightedAge_s[middle]!) / day_s : null,
      meanTemperature_K: warm > 0 ? warmth_K / warm : null,
      capacitance_F,
      capacitanceUncertainty_F: medianUncertainty(capacitance, capacitance_F),
      esr_Ohm,
      esrUncertainty_Ohm: esr_Ohm === null ? null : medianUncertainty(esr.subarray(0, esrs), esr_Ohm),
      relativeCapacitance: capacitance_F / module.ratedCapacitance_F,
      relativeEsr: esr_Ohm === null ? null : esr_Ohm / module.ratedEsr_Ohm,
      tests: to - from,
    });
  }
  return months;
}

/** Weighted seconds per second over the tests seen; of a single one, by its temperature. */
function meanRate(all: NormalisedTests, lifeDoubling_K: number): number {
  const last = all.tests.length - 1;
  const seen_s = all.time_s[last]! - all.time_s[0]!;
  return seen_s > 0 ? all.weightedAge_s[last]! / seen_s : ageingRateAt(all.temperature_K[0]!, lifeDoubling_K);
}

/** Of a median of normally scattered values: 1.25 times that of a mean. */
const medianUncertainty = (values: ArrayLike<number>, middle: number): number | null =>
  values.length < 3 ? null : (1.25 * scaledMad(values, middle)) / Math.sqrt(values.length);
