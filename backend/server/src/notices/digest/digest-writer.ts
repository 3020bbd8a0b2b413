import type { Statement } from '@coldrounds/core';
import { changeOf, kindsOfChange } from '../../pages/round/urgency-change.js';
import type { Database } from '../../storage/index.js';
import type { DecisionRepository } from '../../storage/decisions/decision.repository.js';
import type { OutboxRepository } from '../../storage/notices/outbox.repository.js';
import type { DueDigest, WishRepository } from '../../storage/notices/wish.repository.js';
import type { AttentionRepository } from '../../storage/repositories/findings/attention.repository.js';
import type { ChangedUnit, ChangeRepository } from '../../storage/repositories/findings/change.repository.js';
import type { ProblemReader, UnitProblems } from '../unit-problems.js';
import type { Measures } from '../wish.js';
import { digestMessage, type DigestContent } from './digest-words.js';

export interface DigestParts {
  database: Database;
  wishes: WishRepository;
  outbox: OutboxRepository;
  attention: Pick<AttentionRepository, 'state' | 'stateOf' | 'page'>;
  changes: Pick<ChangeRepository, 'unitsSince'>;
  decisions: Pick<DecisionRepository, 'handedTo'>;
  problems: ProblemReader;
}

/** People in one transaction. */
const atOnce = 25;
/** Units that a digest names of each urgency and each kind of change; the page has the rest. */
const named = 12;
const day_ms = 86_400_000;

/** What many people are told alike, read once for all of them. */
class Shared {
  private readonly kept = new Map<string, Promise<unknown>>();

  once<Value>(key: string, read: () => Promise<Value>): Promise<Value> {
    const known = (this.kept.get(key) as Promise<Value> | undefined) ?? read();
    this.kept.set(key, known);
    return known;
  }
}

/** Writes the digests that are due into the outbox, each once a day. */
export class DigestWriter {
  constructor(private readonly parts: DigestParts) {}

  /** How many were written. */
  async writeDue(now: Date): Promise<number> {
    const { database, wishes, outbox } = this.parts;
    const shared = new Shared();
    for (let written = 0; ;) {
      const taken = await database.transaction(async (client) => {
        const due = await wishes.takeDigests(now, atOnce, client);
        const messages = [];
        for (const person of due)
          messages.push({
            kind: 'digest' as const,
            personId: person.personId,
            document: digestMessage(await this.contentFor(person, now, shared), {
              measures: person.measures as Measures,
              timeZone: person.timeZone,
            }),
          });
        await outbox.add(messages, client);
        return due.length;
      });
      written += taken;
      if (taken < atOnce) return written;
    }
  }

  private async contentFor(person: DueDigest, now: Date, shared: Shared): Promise<DigestContent> {
    const round = await shared.once(`round ${JSON.stringify(person.sites)}`, () => this.round(person.sites));
    return {
      ...round,
      changes: await this.changesFor(person, now, shared),
      handed: await this.handedTo(person, now),
    };
  }

  private async round(sites: string[] | null) {
    const { attention, problems } = this.parts;
    const [{ byUrgency }, today, thisWeek] = await Promise.all([
      sites === null ? attention.state() : attention.stateOf(sites),
      attention.page({ sites, urgency: 0 }, null, named),
      attention.page({ sites, urgency: 1 }, null, named),
    ]);
    const of = await problems.of([...today, ...thisWeek].map(({ unitId }) => unitId));
    const known = (places: typeof today): UnitProblems[] =>
      places.flatMap(({ unitId }) => of.get(unitId) ?? []);
    return { byUrgency: byUrgency ?? [], today: known(today), thisWeek: known(thisWeek) };
  }

  private async changesFor(person: DueDigest, now: Date, shared: Shared): Promise<DigestContent['changes']> {
    const { attention, changes, problems } = this.parts;
    const since_s = (person.before?.getTime() ?? now.getTime() - day_ms) / 1000;
    const { judgingSince } = await shared.once('state', () => attention.state());
    if (judgingSince === null || judgingSince.getTime() / 1000 > since_s) return null;
    return shared.once(`changes ${since_s} ${JSON.stringify(person.sites)}`, async () => {
      const all = await shared.once(`changes ${since_s}`, () => changes.unitsSince(since_s));
      const seen = all.filter(({ siteKey }) => person.sites?.includes(siteKey) ?? true);
      const ofKind = (kind: (typeof kindsOfChange)[number]): ChangedUnit[] =>
        seen.filter(({ before, now }) => changeOf(before, now) === kind);
      const kinds = kindsOfChange.map((kind) => ({ kind, units: ofKind(kind) }));
      const of = await problems.of(
        kinds.flatMap(({ units }) => units.slice(0, named).map(({ unitId }) => unitId)),
      );
      return kinds.map(({ kind, units }) => ({
        kind,
        count: units.length,
        units: units.slice(0, named).flatMap(({ unitId }) => of.get(unitId)?.unit ?? []),
      }));
    });
  }

  private async handedTo(person: DueDigest, now: Date): Promise<DigestContent['handed']> {
    const states = await this.parts.decisions.handedTo(person.personId);
    if (states.length === 0) return [];
    const of = await this.parts.problems.of(states.map(({ unitId }) => unitId));
    return states.flatMap(({ unitId, finding, due }) => {
      const unit = of.get(unitId)?.unit;
      if (unit === undefined || !(person.sites?.includes(unit.site.key) ?? true)) return [];
      const { headline } = finding as { headline: Statement };
      // A day's work is due until the day is over.
      const day = due === null ? null : new Date(due.getTime() - 1000);
      return [{ unit, headline, due: day, overdue: due !== null && due <= now }];
    });
  }
}
