import type {
  AttentionRepository,
  RoundChange,
} from '../storage/repositories/findings/attention.repository.js';

export interface NumberedChanges {
  /** Number of the newest change. */
  version: number;
  /** Number to ask with next time: all changes up to it are told here. */
  next: number;
  /** What changed after the number asked with is not kept any more: everything is to be read again. */
  readAgain: boolean;
  /** Oldest first. */
  changes: RoundChange[];
}

/**
 * What changed on the round since a reader last looked, by number. Numbers are given in the order of commits, so that a
 * reader who asks with the last number it was told misses nothing.
 */
export class NumberedChangesService {
  constructor(private readonly attention: Pick<AttentionRepository, 'state' | 'changes'>) {}

  /** @param since the last number known; null: only where the round stands now */
  async since(since: number | null, limit: number): Promise<NumberedChanges> {
    const { version } = await this.attention.state();
    if (since === null || since === version) return { version, next: version, readAgain: false, changes: [] };
    const again: NumberedChanges = { version, next: version, readAgain: true, changes: [] };
    // A number from the future belongs to another database, or to one that was restored.
    if (since > version) return again;
    const { changes, oldest } = await this.attention.changes(since, limit);
    if (oldest === null || oldest > since + 1) return again;
    const told = changes.filter(({ id }) => id <= version);
    return { version, next: told.at(-1)?.id ?? since, readAgain: false, changes: told };
  }
}
