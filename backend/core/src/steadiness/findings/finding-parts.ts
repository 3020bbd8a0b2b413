import type { FindingDraft } from '../../diagnosis/draft.js';
import type { Hazard } from '../../diagnosis/finding.js';
import { quantity, rounded, statement, type Statement } from '../../diagnosis/statement.js';

export { rounded };
import type { CircuitEntry, EvaporatorType } from '../../telemetry/registry.js';
import type { Headroom, HuntingAssessment, SpanSummary, ValveWear } from '../circuit-assessment.js';
import type { CorrectedLevel } from '../correction/corrected-level.js';
import type { WindowJudgement } from '../windows/window-judgement.js';

export const K = (value: number, uncertainty?: number) =>
  quantity('temperature-difference', value, uncertainty);
export const fraction = (value: number) => quantity('share', value);
export const minutes = (value: number) => quantity('duration', value * 60);
export const opening = (value: number) => quantity('percent-opening', value);

export interface FindingContext {
  circuit: CircuitEntry;
  refrigerant: string;
  evaporator: EvaporatorType;
  /** The sensors of suction pressure and discharge are not found wrong. */
  dischargeSuperheatKnown: boolean;
  refrigerantHazards: Hazard[];
  /** Windows of the last seven days (UTC, the running one counted) that have telemetry. */
  week: readonly WindowJudgement[];
  /** Windows before the week, what the circuit was like until then. */
  earlier: readonly WindowJudgement[];
  /** Windows of the unit's other circuits. */
  neighbours: readonly (readonly WindowJudgement[])[];
  /** Of the last day. */
  day: readonly WindowJudgement[];
  /** The same where superheat is corrected for a measured error of a sensor; null: nothing to correct. */
  level: CorrectedLevel | null;
  hunting: HuntingAssessment | null;
  headroom: Headroom | null;
  wear: ValveWear | null;
}

export interface Draft extends FindingDraft {
  hazards?: Hazard[];
  seen: readonly WindowJudgement[];
}

/** On how much data a finding is based. */
export const basis = (span: SpanSummary): Statement =>
  statement('Based on {steady} of steady running.', { steady: minutes(span.steadyMinutes) });

export const spanDays = (windows: readonly WindowJudgement[]): number =>
  Math.max(1, (windows[windows.length - 1].to_s - windows[0].from_s) / 86_400);

/** Mean of a figure over windows, weighted by their steady minutes; null where none has it. */
export function steadyMean(
  windows: readonly WindowJudgement[],
  value: (window: WindowJudgement) => number | null,
): { mean: number; minutes: number } | null {
  let sum = 0;
  let time = 0;
  for (const window of windows) {
    const one = window.superheat ? value(window) : null;
    if (one === null) continue;
    sum += window.superheat!.minutes * one;
    time += window.superheat!.minutes;
  }
  return time > 0 ? { mean: sum / time, minutes: time } : null;
}
