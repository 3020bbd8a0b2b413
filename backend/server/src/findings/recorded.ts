import type { Finding } from '@coldrounds/core';
import type { StoredFinding } from '../storage/repositories/finding.repository.js';

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
