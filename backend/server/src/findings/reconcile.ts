import { subjectKey, type Finding } from '@coldrounds/core';
import type { FindingChanges, OpenFinding } from '../storage/repositories/findings/finding.repository.js';

export interface ReconcileContext {
  /** False while history is still coming in: what is found then is provisional, and ends as soon as it is not found. */
  settled: boolean;
  /** End of the data that the assessment stood on. */
  dataUntil_s: number;
  /** Conditions whose contrary is shown, or that have lost their ground: they end at once where not found. */
  disproven?: readonly string[];
}

/** A condition must be absent from this many assessments, and from this much new data, before its finding ends. */
export const absence = { assessments: 2, data_s: 3600 };

/**
 * What changes in the store when an assessment has found `found` where `open` were open: new conditions open, known ones
 * are brought up to date, absent ones end; but slowly, so that a condition on the edge of a limit does not come and go. What is disproven has no
 * edge, and ends at once.
 */
export function reconcile(
  open: readonly OpenFinding[],
  found: readonly Finding[],
  context: ReconcileContext,
): FindingChanges {
  const changes: FindingChanges = { opened: [], updated: [], absent: [], ended: [] };
  const known = new Map(open.map((finding) => [`${finding.subjectKey} ${finding.condition}`, finding]));
  const provisional = !context.settled;
  for (const finding of found) {
    const key = subjectKey(finding.subject);
    const before = known.get(`${key} ${finding.condition}`);
    known.delete(`${key} ${finding.condition}`);
    if (before === undefined) changes.opened.push({ subjectKey: key, finding, provisional });
    else
      changes.updated.push({
        id: before.id,
        finding,
        // What was once found on complete data stays so.
        provisional: before.provisional && provisional,
        changed: before.urgency !== finding.urgency || before.certainty !== finding.certainty,
      });
  }
  for (const before of known.values()) {
    const since_s = before.absentSince_s ?? context.dataUntil_s;
    const count = before.absentCount + 1;
    const longEnough = count >= absence.assessments && context.dataUntil_s - since_s >= absence.data_s;
    const disproven = context.disproven?.includes(before.condition) ?? false;
    if (before.provisional || disproven || longEnough) changes.ended.push(before.id);
    else changes.absent.push({ id: before.id, count, since_s });
  }
  return changes;
}
