import {
  beliefFor,
  cohortAgeing,
  cohortEvidence,
  cohortPartOf,
  fewestCohortModules,
  fewestCohortMonths,
  type CohortAgeing,
  type CohortEvidence,
  type LikeModules,
} from '@coldrounds/core';
import { ratingOf } from '../../registry/rating.js';
import type { FleetModule } from '../../storage/fleet.js';
import type { AgeingCohortRepository } from '../../storage/repositories/results/ageing-cohort.repository.js';
import { groupedBy, Turns } from '../in-sets.js';
import type { FleetParts } from '../fleet-parts.js';

export interface AgeingCohortParts {
  cohorts: AgeingCohortRepository;
  fleet: Pick<FleetParts, 'load'>;
}

/** A cohort is learned so often, s. */
export const learnEvery_s = 86_400;
/** More modules would not tell more of one rating: at most so many are read, evenly taken. */
const mostModules = 400;
/** Modules whose months are read at once. */
const readAtOnce = 50;
const refreshEvery_ms = 600_000;

/** How the modules of each rating age: learned once a day from the months of all of them, told to each assessment. */
export class AgeingCohorts {
  private known: Promise<ReadonlyMap<string, CohortAgeing>> | undefined;
  private readAt_ms = -Infinity;

  constructor(
    private readonly parts: AgeingCohortParts,
    private readonly now_ms: () => number = Date.now,
  ) {}

  async learn(): Promise<void> {
    const { cohorts, fleet } = this.parts;
    const { modules } = await fleet.load();
    const seen = (await cohorts.seenFor(fewestCohortMonths)).filter((id) => modules.has(id));
    const learned = new Map<string, CohortAgeing>();
    for (const [rating, ids] of groupedBy(seen, (id) => ratingOf(modules.get(id)!.module.entry)))
      if (ids.length >= fewestCohortModules) learned.set(rating, cohortAgeing(await this.members(ids)));
    await cohorts.keep(learned);
    this.readAt_ms = -Infinity;
  }

  /** How its like age, learned without this module; null where the usual belief stays. */
  async like({ id, entry }: FleetModule): Promise<LikeModules | null> {
    const cohort = (await this.current()).get(ratingOf(entry));
    return cohort === undefined ? null : beliefFor(cohort, id);
  }

  private async members(ids: readonly number[]) {
    const turns = new Turns();
    const taken = evenly(ids, mostModules);
    const members: { part: number; evidence: CohortEvidence }[] = [];
    for (let from = 0; from < taken.length; from += readAtOnce)
      for (const each of await this.parts.cohorts.months(taken.slice(from, from + readAtOnce))) {
        const evidence = cohortEvidence(each.months, each.changedAt_s ?? undefined);
        if (evidence !== null) members.push({ part: cohortPartOf(each.moduleId), evidence });
        await turns.give();
      }
    return members;
  }

  private current(): Promise<ReadonlyMap<string, CohortAgeing>> {
    if (this.known === undefined || this.now_ms() - this.readAt_ms > refreshEvery_ms) {
      this.readAt_ms = this.now_ms();
      const reading = this.parts.cohorts.all();
      this.known = reading;
      reading.catch(() => {
        if (this.known === reading) this.known = undefined;
      });
    }
    return this.known;
  }
}

function evenly(ids: readonly number[], most: number): readonly number[] {
  const step = ids.length / Math.min(ids.length, most);
  return Array.from({ length: Math.min(ids.length, most) }, (_, i) => ids[Math.floor(i * step)]!);
}
