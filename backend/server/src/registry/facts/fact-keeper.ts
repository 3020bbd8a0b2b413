import type { CircuitFacts } from '../../storage/fleet.js';
import type { Queryable } from '../../storage/index.js';
import { always_s, type FactsRepository } from '../../storage/registry/facts.repository.js';
import { changedFrom, joinedAt, sameConverted, sameJudged } from './timeline.js';

export interface ChangedCircuit {
  circuitId: number;
  before: CircuitFacts;
  after: CircuitFacts;
}

/** Keeps what held before a change, and has what is stored since converted and judged anew. */
export class FactKeeper {
  constructor(private readonly facts: FactsRepository) {}

  /** In the transaction of the change, which holds from a moment on; null: always. Gives the circuits that it touches. */
  keep(client: Queryable, circuits: readonly ChangedCircuit[], from_s: number | null): Promise<number[]> {
    return this.keepAll(
      client,
      circuits.filter(({ before, after }) => !sameJudged(before, after) || !sameConverted(before, after)),
      from_s,
    );
  }

  /** The same of circuits that are to be judged anew whether or not their own facts differ, as at another unit. */
  async keepAll(
    client: Queryable,
    touched: readonly ChangedCircuit[],
    from_s: number | null,
  ): Promise<number[]> {
    if (touched.length === 0) return [];
    const ids = touched.map(({ circuitId }) => circuitId);
    const pasts = await this.facts.pasts(ids, client);
    const waiting = new Map(
      (await this.facts.pendingOf(ids, client)).map((pending) => [pending.circuitId, pending]),
    );
    for (const { circuitId, before, after } of touched) {
      const known = [...(pasts.get(circuitId) ?? []), { until_s: null, facts: before }];
      const pending = waiting.get(circuitId);
      const convertedBy =
        pending === undefined ? known : joinedAt(known, pending.before, pending.doneUntil_s);
      await this.facts.keepPast(client, circuitId, changedFrom(known, after, from_s));
      await this.facts.askFor(client, circuitId, from_s ?? always_s, convertedBy);
    }
    return ids;
  }
}
