import { clockOffset, latenessQuantile_s } from '@coldrounds/core/telemetry';
import type { CircuitHeard, LastHeard } from '../../storage/assessment/silence.repository.js';
import type { DayOfUnit, UnitHealth } from '../../storage/delivery/data-health.repository.js';

const day_s = 86_400;
/** History that came within the last minutes is coming in still. */
const stillComing_s = 600;
/** A sample that is late by so many intervals, and by so long, is missing until it comes: as a unit is called silent. */
const patience = { intervals: 20, least_s: 720 };

/**
 * The state of a unit's data from what was counted on its way in, what the judgement of ended windows found missing, and
 * how long it has been silent: hours of a silence that goes on are in no judged window yet.
 */
export function unitHealth(heard: LastHeard, day: DayOfUnit | undefined, asOf_s: number): UnitHealth {
  const received = day?.samples ?? 0;
  const missing = heard.circuits.reduce((sum, circuit) => sum + missingOf(circuit, asOf_s), 0);
  const promises = heard.circuits.some((circuit) => isEven(circuit));
  const expected = promises ? received + missing : null;
  const clock = clockOffset(day?.hours ?? []);
  const catchingUp =
    day?.historyAt_s != null && asOf_s - day.historyAt_s < stillComing_s && clock?.shifted !== true;
  return {
    unitId: heard.unitId,
    asOf_s,
    lastMessage_s: day?.last_s ?? null,
    newest_s: heard.newestReading_s,
    ...{ expected, received, missing },
    messages: day?.messages ?? 0,
    steps: day?.steps ?? 0,
    repeats: day?.repeats ?? 0,
    history: day?.history ?? 0,
    latenessP50_s: day === undefined ? null : latenessQuantile_s(day.lateness, 0.5),
    latenessP95_s: day === undefined ? null : latenessQuantile_s(day.lateness, 0.95),
    ...{ clock, catchingUp },
    historyUntil_s: catchingUp ? (day?.historyUntil_s ?? null) : null,
    lost: lostOf(heard, expected, missing, asOf_s),
  };
}

const isEven = ({ interval_s, onChange }: CircuitHeard): boolean =>
  interval_s !== null && interval_s > 0 && !onChange;

/** Samples of the last day that did not come. */
function missingOf(circuit: CircuitHeard, asOf_s: number): number {
  if (!isEven(circuit) || circuit.newestReading_s === null) return circuit.missing;
  const interval_s = circuit.interval_s!;
  const silent_s = asOf_s - circuit.newestReading_s;
  const late_s = Math.max(patience.least_s, patience.intervals * interval_s);
  const now = silent_s > late_s ? Math.round(Math.min(silent_s, day_s) / interval_s) : 0;
  // What judged windows lack lies before the silence; of both together no more than a day can be missing.
  return Math.min(Math.round(day_s / interval_s), circuit.missing + now);
}

/** Where nothing is promised, only a silence is counted. */
function lostOf(
  { newestReading_s: newest_s }: LastHeard,
  expected: number | null,
  missing: number,
  asOf_s: number,
): number {
  if (newest_s === null) return 1;
  if (expected !== null && expected > 0) return Math.min(1, missing / expected);
  const silent_s = asOf_s - newest_s;
  return silent_s > 3600 ? Math.min(1, silent_s / day_s) : 0;
}
