import { causeName, compareFindings, type Cause, type Finding } from '@coldrounds/core';
import type {
  DiagnosisDocument,
  StoredDiagnosis,
} from '../storage/repositories/findings/diagnosis.repository.js';
import type { StoredFinding } from '../storage/repositories/findings/finding.repository.js';

/** A finding with its life in the store, as it is published. */
export interface RecordedFinding extends Finding {
  id: string;
  openedAt: string;
  updatedAt: string;
  /** Null while the finding is open. */
  endedAt: string | null;
}

export const recorded = ({ id, document, openedAt, updatedAt, endedAt }: StoredFinding): RecordedFinding => ({
  ...document,
  id,
  openedAt: openedAt.toISOString(),
  updatedAt: updatedAt.toISOString(),
  endedAt: endedAt?.toISOString() ?? null,
});

/** A diagnosis with its life in the store, as it is published: its findings by their ids. */
export interface RecordedDiagnosis extends DiagnosisDocument {
  id: string;
  /** The cause in words. */
  name: string;
  rivals: { cause: Cause; name: string; weight: number }[];
  openedAt: string;
  updatedAt: string;
  /** Null while the diagnosis is open. */
  endedAt: string | null;
}

export const recordedDiagnosis = ({
  id,
  document,
  openedAt,
  updatedAt,
  endedAt,
}: StoredDiagnosis): RecordedDiagnosis => ({
  ...document,
  id,
  name: causeName(document.cause),
  rivals: document.rivals.map((rival) => ({ ...rival, name: causeName(rival.cause) })),
  openedAt: openedAt.toISOString(),
  updatedAt: updatedAt.toISOString(),
  endedAt: endedAt?.toISOString() ?? null,
});

/** Diagnoses in the order of the round. */
export const inRoundOrder = (diagnoses: readonly StoredDiagnosis[]): RecordedDiagnosis[] =>
  diagnoses
    .map(recordedDiagnosis)
    .sort((a, b) => compareFindings({ ...a, condition: a.cause }, { ...b, condition: b.cause }));
