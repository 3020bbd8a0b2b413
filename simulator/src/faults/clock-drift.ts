import type { Fault } from './fault.js';

/** By how much the clock of the circuits' gateway is ahead at a time, in whole seconds: it runs fast from the fault's beginning on. */
export function clockAhead_s(
  { faults, now_s }: { faults: readonly Fault[]; now_s: number },
  time_s: number,
): number {
  let ahead_s = 0;
  for (const fault of faults) {
    if (fault.kind !== 'clock-drift') continue;
    const days = (time_s - now_s) / 86_400 + (fault.sinceDaysAgo ?? 0);
    const until = (fault.sinceDaysAgo ?? 0) - (fault.untilDaysAgo ?? 0);
    ahead_s += fault.perDay_s * Math.max(0, Math.min(days, fault.untilDaysAgo === undefined ? days : until));
  }
  return Math.round(ahead_s);
}
