import { statement } from '../diagnosis/statement.js';
import { UnknownRefrigerantError } from '../refrigerants/index.js';
import type { UnitEntry } from '../telemetry/index.js';
import { checkUnit } from './check-unit.js';
import { completeUnit, type CompletedUnit } from './complete-unit.js';
import type { Doubt } from './doubt.js';
import type { UnitDraft } from './draft.js';

export interface JudgedDraft {
  /** With its assumptions; null where nothing can be assumed, for want of a property table. */
  unit: CompletedUnit | null;
  doubts: Doubt[];
}

/**
 * A draft of a unit, filled in, with what is wrong or doubtful in it. One doubt that is refused, and it cannot be taken.
 *
 * @param before the unit as registered so far; null where it is new.
 * @param altitude_m of its site, from which gauges read.
 * @param now_s whose day (UTC) stands for a module's unknown day of installation.
 */
export function judgeDraft(
  draft: UnitDraft,
  before: UnitEntry | null,
  { altitude_m, now_s }: { altitude_m: number; now_s: number },
): JudgedDraft {
  const today = new Date(now_s * 1000).toISOString().slice(0, 10);
  let unit;
  try {
    unit = completeUnit(draft, before, today);
  } catch (error) {
    if (!(error instanceof UnknownRefrigerantError)) throw error;
    const sentence = statement('There is no property table of this refrigerant.');
    return { unit: null, doubts: [{ field: 'refrigerant', refused: true, sentence }] };
  }
  return { unit, doubts: checkUnit(draft, unit, altitude_m) };
}
