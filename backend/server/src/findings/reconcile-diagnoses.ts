import { subjectKey, type Diagnosis, type Finding } from '@coldrounds/core';
import { isDeepStrictEqual } from 'node:util';
import type {
  DiagnosisChanges,
  DiagnosisDocument,
  StoredDiagnosis,
} from '../storage/repositories/findings/diagnosis.repository.js';

/** A diagnosis with its findings by their ids. */
export function documentOf(
  { symptoms, consequences, ...diagnosis }: Diagnosis,
  idOf: ReadonlyMap<Finding, string>,
): DiagnosisDocument {
  const ids = (findings: readonly Finding[]) => findings.flatMap((finding) => idOf.get(finding) ?? []);
  return { ...diagnosis, symptoms: ids(symptoms), consequences: ids(consequences) };
}

const pointing = ({ symptoms, consequences }: DiagnosisDocument): string[] =>
  symptoms.filter((id) => !consequences.includes(id));

/**
 * How much an open diagnosis is the same problem as one that is found now; 0: another one. It is the same where the
 * symptoms that point to it are, though its cause may be named otherwise by now.
 */
function likeness(before: DiagnosisDocument, now: DiagnosisDocument): number {
  const had = new Set(pointing(before));
  const shared = pointing(now).filter((id) => had.has(id)).length;
  const sameCause =
    before.cause === now.cause && subjectKey(before.subject) === subjectKey(now.subject) ? 1 : 0;
  return shared > 0 ? 2 * shared + sameCause : now.cause === 'something-else' ? 0 : sameCause;
}

/**
 * What changes in the store when the diagnoses of one unit are `found` where `open` were open. They follow from findings,
 * which end slowly themselves: what no finding supports any more ends at once.
 */
export function reconcileDiagnoses(
  unitId: number,
  open: readonly StoredDiagnosis[],
  found: readonly DiagnosisDocument[],
): DiagnosisChanges {
  const changes: DiagnosisChanges = { opened: [], updated: [], ended: [] };
  const left = new Set(open);
  const pairs = found
    .flatMap((document, place) =>
      open.map((before) => ({ before, place, like: likeness(before.document, document) })),
    )
    .filter(({ like }) => like > 0)
    .sort((a, b) => b.like - a.like || a.place - b.place || Number(a.before.id) - Number(b.before.id));
  const paired = new Map<number, StoredDiagnosis>();
  for (const { before, place } of pairs)
    if (left.has(before) && !paired.has(place)) {
      paired.set(place, before);
      left.delete(before);
    }
  found.forEach((document, place) => {
    const before = paired.get(place);
    const key = subjectKey(document.subject);
    if (before === undefined) changes.opened.push({ unitId, subjectKey: key, document });
    else if (!isDeepStrictEqual(before.document, document))
      changes.updated.push({
        id: before.id,
        subjectKey: key,
        document,
        changed: (['cause', 'urgency', 'certainty'] as const).some(
          (name) => before.document[name] !== document[name],
        ),
      });
  });
  changes.ended.push(...[...left].map(({ id }) => id));
  return changes;
}
