import type { WindowPlateaus } from '../normal/plateaus/window-plateaus.js';
import { window_s } from '../steadiness/windows/window-judgement.js';

const week_s = 7 * 86_400;
const week_h = 7 * 24;

/** The judged windows of the last seven days of a record. */
export const lastWeekOf = (windows: readonly WindowPlateaus[]): WindowPlateaus[] => {
  const newest_s = windows.at(-1)?.start_s ?? 0;
  return windows.filter(({ start_s }) => start_s > newest_s - week_s);
};

/**
 * Hours of running in a week, from judged windows of two hours: their running time over their length, times the hours of a
 * week. Time without telemetry is taken to be like the rest. 0 where there are no windows.
 */
export function runningHours(windows: readonly WindowPlateaus[]): number {
  if (windows.length === 0) return 0;
  const ran_s = windows.reduce((sum, window) => sum + window.ran_s, 0);
  return Math.min(week_h, (ran_s / (windows.length * window_s)) * week_h);
}
