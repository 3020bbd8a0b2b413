import type { Finding, SensorVerdict } from '@coldrounds/core';
import type { FindingRepository } from '../storage/repositories/finding.repository.js';
import { reconcile, type ReconcileContext } from './reconcile.js';

/** Who wants to know that a unit's place in the round may have changed. */
export type RoundChanged = (unitId: number) => void;

/** Keeps the findings of each source up to date. */
export class FindingKeeper {
  constructor(
    private readonly repository: FindingRepository,
    private readonly roundChanged: RoundChanged,
  ) {}

  /** What is open from some sources, as far as it decides on others. */
  verdicts(sources: readonly string[]): Promise<SensorVerdict[]> {
    return this.repository.verdictsOf(sources);
  }

  async keep(
    unitId: number,
    source: string,
    found: readonly Finding[],
    context: ReconcileContext,
  ): Promise<void> {
    const open = await this.repository.openOf(unitId, source);
    if (open.length === 0 && found.length === 0) return;
    const changes = reconcile(open, found, context);
    await this.repository.apply(unitId, source, changes);
    if (changes.opened.length + changes.ended.length > 0 || changes.updated.some(({ changed }) => changed))
      this.roundChanged(unitId);
  }
}
