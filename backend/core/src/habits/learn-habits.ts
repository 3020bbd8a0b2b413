import { isRising, quantileSorted, spacingsOf } from '../numerics/index.js';
import { circuitSeriesColumns, type CircuitSeries } from '../telemetry/circuit-series.js';
import type { ReportingHabit } from '../telemetry/registry.js';
import { withoutDefaults, type SeriesDefaults } from './without-defaults.js';
import { clockDelay } from './signal/clock-delay.js';
import { defaultValues } from './signal/default-values.js';
import { isFractionOfOne } from './signal/fraction-of-one.js';
import { glitchesOf } from './signal/glitches.js';
import { longestUnchanged_s } from './signal/held-line.js';
import { reportingOf, type Reporting } from './signal/reporting.js';
import type { SeriesHabits, SignalHabit, SignalName } from './signal/signal-habit.js';

/**
 * Smallest departure of a single sample that the quantity itself cannot make within seconds: a thermometer on a pipe
 * follows with tens of seconds, a pressure with its vessel. Judgement, no source.
 */
const leastGlitch: Partial<Record<SignalName, number>> = {
  suctionPressure_Pa: 0.25e5,
  dischargePressure_Pa: 0.5e5,
  suctionTemperature_K: 4,
  dischargeTemperature_K: 5,
  liquidTemperature_K: 4,
  enteringWaterTemperature_K: 2,
  leavingWaterTemperature_K: 2,
  ambientTemperature_K: 4,
  valveOpening_pct: 20,
};
/** At wider spacings an excursion of one sample may be real. */
const widestForGlitches_s = 30;

const least = { hold_s: 1800, silence_s: 600 };
const longestHold_s = 12 * 3600;

/** Delays beyond these are the clock's, not the quantity's, s; a thermometer's own lag is taken into account. */
const ownLag_s: Partial<Record<SignalName, number>> = {
  valveOpening_pct: 20,
  suctionPressure_Pa: 75,
  dischargePressure_Pa: 150,
  suctionTemperature_K: 180,
};

/**
 * Learns how the signals of a circuit are sent, from its telemetry: step, interval, sampled or on change, glitches, values
 * that stand for a missing one, percent sent as fractions, and clocks that are apart. What the registry says of the gateway goes before what is learned. Two hours tell steps and
 * intervals; clocks need two stops, or for the pressures two steps of load.
 */
export function learnHabits(sent: CircuitSeries, registered?: ReportingHabit | null): SeriesHabits {
  const { time_s } = sent;
  const rowGaps = gapsOf(time_s);
  const defaults: SeriesDefaults = {};
  for (const name of circuitSeriesColumns) {
    const found = defaultValues(name, time_s, sent[name]);
    if (found.length > 0) defaults[name] = found;
  }
  const series = withoutDefaults(sent, defaults);
  const seen = {} as Record<SignalName, Reporting>;
  for (const name of circuitSeriesColumns) seen[name] = reportingOf(time_s, series[name]);
  const reporting =
    registered ??
    majority(circuitSeriesColumns.filter((name) => !commands.has(name)).map((name) => seen[name]));
  const signals = {} as Record<SignalName, SignalHabit>;
  for (const name of circuitSeriesColumns) {
    signals[name] = habitOf(
      series,
      name,
      seen[name],
      registered ?? ownReporting(name, seen[name], reporting),
    );
    if (defaults[name]) signals[name].defaults = defaults[name];
    if (isFractionOfOne(name, series[name])) signals[name].fractionOfOne = true;
  }
  const delays = delaysOf(series);
  const clocksApart = Object.entries(delays).some(
    ([name, { delay_s, uncertainty_s }]) =>
      Math.abs(delay_s) - 2 * uncertainty_s >
      (ownLag_s[name as SignalName] ?? Infinity) + 1.5 * (signals[name as SignalName].interval_s ?? 0),
  );
  const rowGap_s = rowGaps.length > 0 ? quantileSorted(rowGaps, 0.995) : 0;
  return {
    reporting,
    signals,
    rowInterval_s: rowGaps.length > 0 ? quantileSorted(rowGaps, 0.5) : null,
    silence_s: Math.max(least.silence_s, 1.5 * rowGap_s),
    delays,
    clocksApart,
  };
}

/** What a controller commands moves in steps of its own making: only rows that lack it tell how it is sent. */
const commands: ReadonlySet<SignalName> = new Set([
  'valveOpening_pct',
  'superheatSetpoint_K',
  'compressorLoad_pct',
  'condenserFanSpeed_pct',
]);

const ownReporting = (name: SignalName, seen: Reporting, gateway: ReportingHabit): ReportingHabit =>
  gateway === 'on-change' || (commands.has(name) && seen.lacking < 0.2)
    ? gateway
    : (seen.reporting ?? gateway);

/** Signals whose noise shows whether their line is lost. */
const measured: ReadonlySet<SignalName> = new Set([
  'suctionPressure_Pa',
  'suctionTemperature_K',
  'dischargePressure_Pa',
]);

function gapsOf(time_s: Float64Array): Float64Array {
  const gaps = spacingsOf(time_s);
  return isRising(gaps) ? gaps : gaps.sort();
}

/**
 * A gateway sends all its signals one way. Two that rows lack at times of their own tell that it is on change: one that moves
 * by more than its deadband in every row only looks sampled. Else those that move too little to tell follow those that do.
 */
function majority(seen: readonly Reporting[]): ReportingHabit {
  if (seen.filter(({ leftOut }) => leftOut).length >= 2) return 'on-change';
  const onChange = seen.filter(({ reporting }) => reporting === 'on-change').length;
  const sampled = seen.filter(({ reporting }) => reporting === 'sampled').length;
  return onChange > sampled ? 'on-change' : 'sampled';
}

function habitOf(
  series: CircuitSeries,
  name: SignalName,
  seen: Reporting,
  reporting: ReportingHabit,
): SignalHabit {
  const { time_s } = series;
  const values = series[name];
  const interval_s = seen.interval_s;
  const glitch = leastGlitch[name];
  const lookable =
    glitch !== undefined && (reporting === 'on-change' || (interval_s ?? Infinity) <= widestForGlitches_s);
  const glitches = lookable
    ? glitchesOf(time_s, values, Math.max(glitch, 3 * seen.resolution, 3 * seen.deadband))
    : [];
  const longest_s = seen.longestGap_s ?? 0;
  return {
    reporting,
    resolution: seen.resolution,
    deadband: reporting === 'on-change' ? seen.deadband || seen.leastChange : 0,
    interval_s,
    hold_s:
      reporting === 'on-change'
        ? Math.min(longestHold_s, Math.max(least.hold_s, 3 * longest_s))
        : 2.5 * (interval_s ?? 0),
    longestUnchanged_s: measured.has(name) ? longestUnchanged_s(time_s, values) : null,
    glitches: glitches.length,
    observed_s: time_s.length > 1 ? time_s[time_s.length - 1] - time_s[0] : 0,
  };
}

/** A step of load so large between two samples moves the pressures at once, points. Judgement, no source. */
const loadStep_pct = 25;

/** Changes closer than twice the delay that is looked for are not told apart, s. */
const apart_s = 720;

function delaysOf(series: CircuitSeries): SeriesHabits['delays'] {
  const { time_s, compressorLoad_pct } = series;
  const marks: { at_s: number; is: 'stop' | 'step' | 'start' }[] = [];
  let last = NaN;
  let last_s = -Infinity;
  for (let i = 0; i < time_s.length; i++) {
    const load = compressorLoad_pct[i];
    if (!Number.isFinite(load)) continue;
    const between_s = 0.5 * (time_s[i] + Math.max(last_s, time_s[i] - 60));
    // A stop is the sharper mark: a start ramps.
    if (last > 1 && load <= 1) marks.push({ at_s: between_s, is: 'stop' });
    else if (last <= 1 && load > 1) marks.push({ at_s: between_s, is: 'start' });
    else if (last > 1 && Math.abs(load - last) >= loadStep_pct) marks.push({ at_s: between_s, is: 'step' });
    last = load;
    last_s = time_s[i];
  }
  // Next to another change, what a signal did is not told from what it did at that one.
  const alone = marks.filter(
    ({ at_s }, k) =>
      at_s - (marks[k - 1]?.at_s ?? -Infinity) >= apart_s &&
      (marks[k + 1]?.at_s ?? Infinity) - at_s >= apart_s,
  );
  const stops = alone.filter(({ is }) => is === 'stop').map(({ at_s }) => at_s);
  const steps = alone.filter(({ is }) => is !== 'start').map(({ at_s }) => at_s);
  const delays: SeriesHabits['delays'] = {};
  for (const name of Object.keys(ownLag_s) as SignalName[]) {
    // Valve and thermometer follow a step of load in their own time.
    const delay = clockDelay(time_s, series[name], name.endsWith('_Pa') ? steps : stops);
    if (delay) delays[name] = delay;
  }
  return delays;
}

/** Indices of the wrong single samples of one signal, by what was learned of it. */
export function glitchesIn(series: CircuitSeries, name: SignalName, habit: SignalHabit): number[] {
  const glitch = leastGlitch[name];
  if (glitch === undefined || habit.glitches === 0) return [];
  return glitchesOf(series.time_s, series[name], Math.max(glitch, 3 * habit.resolution, 3 * habit.deadband));
}
