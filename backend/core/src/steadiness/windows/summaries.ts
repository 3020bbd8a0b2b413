import { operatingStates, type StateMinutes, type WindowJudgement } from './window-judgement.js';
import type { SpanSummary } from '../circuit-assessment.js';

const day_s = 86_400;
const week_s = 7 * day_s;
/** The first Monday after the epoch. */
const monday_s = 4 * day_s;

export const huntingAmplitude_K = 0.5;

/** A window hunts when superheat oscillates by at least 0.5 K to either side; less is fluctuation (common practice, no source). */
export const hunts = (window: WindowJudgement): boolean =>
  window.oscillation.oscillating === true && (window.oscillation.amplitude ?? 0) >= huntingAmplitude_K;

/** Minutes of a window's steady running under the floodback limit as read; 0 where superheat could not be judged. */
export const minutesUnderLimit = ({ superheat }: Pick<WindowJudgement, 'superheat'>): number =>
  superheat === null ? 0 : superheat.minutes * superheat.underLimitFraction;

/**
 * Start of the last `days` days before `end_s`: 0 h UTC, the day in which it ends counted. Findings, pages, study and
 * exports all take their week from here, so that they agree.
 *
 * @example lastDaysFrom_s(7 * 86_400 + 7200, 7) // 86_400: the eighth day has begun
 */
export const lastDaysFrom_s = (end_s: number, days: number): number =>
  (Math.ceil(end_s / day_s) - days) * day_s;

/** Windows of a span as one, each weighted by its steady minutes. Null without windows. */
export function summarise(
  windows: readonly WindowJudgement[],
  span?: { from_s: number; to_s: number },
): SpanSummary | null {
  if (windows.length === 0) return null;
  const minutes = Object.fromEntries(operatingStates.map((state) => [state, 0])) as StateMinutes;
  let steady = 0;
  let mean = 0;
  let under = 0;
  let surely = 0;
  let starved = 0;
  let offset = 0;
  let offsetMinutes = 0;
  let lowest = Infinity;
  let judged = 0;
  let hunting = 0;
  let travel = 0;
  let reversals = 0;
  let observed = 0;
  for (const window of windows) {
    for (const state of operatingStates) minutes[state] += window.minutes[state] ?? 0;
    if (window.valve) {
      travel += window.valve.travel_strokes;
      reversals += window.valve.reversals;
      observed += window.valve.minutes;
    }
    judged += window.oscillation.judgedMinutes;
    if (hunts(window)) hunting += window.oscillation.huntingMinutes;
    const held = window.superheat;
    if (!held) continue;
    steady += held.minutes;
    mean += held.minutes * held.mean_K;
    under += minutesUnderLimit(window);
    surely += held.minutes * held.surelyUnderLimitFraction;
    starved += held.minutes * held.starvedFraction;
    lowest = Math.min(lowest, held.percentile1_K);
    if (held.offset_K !== null) {
      offset += held.minutes * held.offset_K;
      offsetMinutes += held.minutes;
    }
  }
  const per = (sum: number): number | null => (steady > 0 ? sum / steady : null);
  const mean_K = per(mean);
  let variance = 0;
  if (mean_K !== null)
    for (const { superheat } of windows)
      if (superheat)
        variance += superheat.minutes * (superheat.spread_K ** 2 + (superheat.mean_K - mean_K) ** 2);
  return {
    from_s: span?.from_s ?? windows[0].from_s,
    to_s: span?.to_s ?? windows[windows.length - 1].to_s,
    windows: windows.length,
    minutes,
    steadyMinutes: steady,
    mean_K,
    spread_K: mean_K === null ? null : Math.sqrt(variance / steady),
    lowest_K: Number.isFinite(lowest) ? lowest : null,
    underLimitFraction: per(under),
    surelyUnderLimitFraction: per(surely),
    starvedFraction: per(starved),
    offset_K: offsetMinutes > 0 ? offset / offsetMinutes : null,
    huntingFraction: judged > 0 ? hunting / judged : null,
    travel_strokes: travel,
    reversals,
    observedMinutes: observed,
  };
}

/** Days from 0 h UTC, ascending; a window belongs to the day in which it begins. */
export const summariseDays = (windows: readonly WindowJudgement[]): SpanSummary[] =>
  bySpan(windows, day_s, 0);

/** Weeks from Monday 0 h UTC. */
export const summariseWeeks = (windows: readonly WindowJudgement[]): SpanSummary[] =>
  bySpan(windows, week_s, monday_s);

function bySpan(windows: readonly WindowJudgement[], length_s: number, origin_s: number): SpanSummary[] {
  const groups = new Map<number, WindowJudgement[]>();
  for (const window of windows) {
    const from = Math.floor((window.from_s - origin_s) / length_s) * length_s + origin_s;
    const group = groups.get(from);
    if (group) group.push(window);
    else groups.set(from, [window]);
  }
  return [...groups]
    .sort(([a], [b]) => a - b)
    .map(([from_s, group]) => summarise(group, { from_s, to_s: from_s + length_s })!);
}
