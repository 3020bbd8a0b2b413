import type { RecordedFinding } from '../api/ports.js';
import type { StoredFinding } from '../storage/repositories/finding.repository.js';

/** A stored finding as it is published. */
export const recorded = ({ id, document, openedAt, updatedAt, endedAt }: StoredFinding): RecordedFinding => ({
  ...document,
  id,
  openedAt: openedAt.toISOString(),
  updatedAt: updatedAt.toISOString(),
  endedAt: endedAt?.toISOString() ?? null,
});
