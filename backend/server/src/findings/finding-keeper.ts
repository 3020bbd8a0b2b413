import type { Finding, SensorVerdict } from '@coldrounds/core';
import type { FindingRepository } from '../storage/repositories/findings/finding.repository.js';
import type { Queryable } from '../storage/connection/database.js';
import { reconcile, type ReconcileContext } from './reconcile.js';

/** What one source finds on a unit, in full: what is not among it is no longer found. */
export interface SourceFindings {
  unitId: number;
  source: string;
  found: readonly Finding[];
  context: ReconcileContext;
}

/** Who wants to know that a unit's place in the round may have changed. */
export type RoundChanged = (unitId: number) => void;

/** Keeps the findings of each source up to date. */
export class FindingKeeper {
  constructor(
    private readonly repository: FindingRepository,
    private readonly roundChanged: RoundChanged,
  ) {}

  /** What is open from some sources, as far as it decides on others. */
  verdicts(sources: readonly string[]): Promise<(SensorVerdict & { unitId: number })[]> {
    return this.repository.verdictsOf(sources);
  }

  async keep(
    unitId: number,
    source: string,
    found: readonly Finding[],
    context: ReconcileContext,
  ): Promise<void> {
    await this.keepAll([{ unitId, source, found, context }]);
  }

  /** Findings of any number of sources at once; within a transaction where `by` is one, then tell `changed` after it. */
  async keepAll(entries: readonly SourceFindings[], by?: Queryable): Promise<void> {
    this.tell(await this.write(entries, by));
  }

  /** As `keepAll`, but leaves telling to the caller: returns the units whose place in the round may have changed. */
  async write(entries: readonly SourceFindings[], by?: Queryable): Promise<number[]> {
    if (entries.length === 0) return [];
    const open = await this.repository.openOf(
      entries.map(({ source }) => source),
      by,
    );
    const changes = entries
      .filter(({ source, found }) => found.length > 0 || open.get(source)!.length > 0)
      .map(({ unitId, source, found, context }) => ({
        unitId,
        source,
        ...reconcile(open.get(source)!, found, context),
      }));
    await this.repository.apply(changes, by);
    return changes
      .filter(
        ({ opened, ended, updated }) =>
          opened.length + ended.length > 0 || updated.some(({ changed }) => changed),
      )
      .map(({ unitId }) => unitId);
  }

  tell(unitIds: readonly number[]): void {
    for (const unitId of new Set(unitIds)) this.roundChanged(unitId);
  }
}
