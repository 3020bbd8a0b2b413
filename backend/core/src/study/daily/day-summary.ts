import type { WindowJudgement } from '../../steadiness/windows/window-judgement.js';
import { hunts, summarise } from '../../steadiness/windows/summaries.js';

/** What is kept of a circuit's day for studies: enough to give a figure over any days as the unit's own page has it. */
export const dayColumns = [
  'runningMinutes',
  'steadyMinutes',
  /** Over the steady minutes, as the four below. */
  'superheatMean_K',
  'superheatSpread_K',
  'floodbackFraction',
  'starvedFraction',
  'setpointOffset_K',
  /** Looked at for hunting. */
  'judgedMinutes',
  'huntingMinutes',
  /** In which the opening was observed. */
  'valveMinutes',
  'valveTravel_strokes',
  'valveReversals',
  /** Means over the steady minutes. */
  'compressorLoad_pct',
  'evaporatingTemperature_K',
  'condensingTemperature_K',
  'subcooling_K',
  'ambientTemperature_K',
] as const;
export type DayColumn = (typeof dayColumns)[number];

/** A circuit's day; NaN where nothing was sent. */
export type DaySummary = Record<DayColumn, number>;

const conditions = [
  'compressorLoad_pct',
  'evaporatingTemperature_K',
  'condensingTemperature_K',
  'subcooling_K',
  'ambientTemperature_K',
] as const;

/** The judged windows of a day as one row. A window belongs to the day in which it begins. */
export function daySummary(windows: readonly WindowJudgement[]): DaySummary {
  const summary = summarise(windows);
  if (summary === null) return Object.fromEntries(dayColumns.map((name) => [name, NaN])) as DaySummary;
  const { minutes } = summary;
  const judged = windows.reduce((sum, { oscillation }) => sum + oscillation.judgedMinutes, 0);
  const hunting = windows.reduce(
    (sum, window) => sum + (hunts(window) ? window.oscillation.huntingMinutes : 0),
    0,
  );
  const still = minutes.standing + minutes['power-lost'] + minutes.silent;
  return {
    runningMinutes: Object.values(minutes).reduce((sum, value) => sum + value, 0) - still,
    steadyMinutes: summary.steadyMinutes,
    superheatMean_K: summary.mean_K ?? NaN,
    superheatSpread_K: summary.spread_K ?? NaN,
    floodbackFraction: summary.underLimitFraction ?? NaN,
    starvedFraction: summary.starvedFraction ?? NaN,
    setpointOffset_K: summary.offset_K ?? NaN,
    judgedMinutes: judged,
    huntingMinutes: hunting,
    valveMinutes: summary.observedMinutes,
    valveTravel_strokes: summary.travel_strokes,
    valveReversals: summary.reversals,
    ...(Object.fromEntries(conditions.map((name) => [name, meanOf(windows, name)])) as Record<
      (typeof conditions)[number],
      number
    >),
  };
}

/** Weighted by the steady minutes of each window. */
function meanOf(windows: readonly WindowJudgement[], name: (typeof conditions)[number]): number {
  let [sum, total] = [0, 0];
  for (const window of windows) {
    const value = window.conditions[name];
    if (value === null) continue;
    sum += window.minutes.steady * value;
    total += window.minutes.steady;
  }
  return total > 0 ? sum / total : NaN;
}
