import { reconverted } from '../registry/facts/reconvert.js';
import { factsAt, sameConverted } from '../registry/facts/timeline.js';
import type { RejudgeRepository } from '../storage/assessment/rejudge.repository.js';
import type { FactsTimeline } from '../storage/fleet.js';
import type { Queryable } from '../storage/index.js';
import type { FactsRepository, Reconversion } from '../storage/registry/facts.repository.js';

export interface ReconverterParts {
  facts: FactsRepository;
  rejudge: RejudgeRepository;
  /** The readings of a circuit are done: other processes look at the registry again. */
  changed: () => Promise<void>;
}

/** Readings in one transaction, while which nothing else is stored: about a week at 10 s. */
const mostReadings = 60_000;

/**
 * Converts stored readings anew after a correction of the registry, a part at a time, and then has their windows judged
 * again. Each part is committed with how far it went, so that it may be ended at any point.
 */
export class Reconverter {
  constructor(
    private readonly parts: ReconverterParts,
    private readonly most = mostReadings,
  ) {}

  /** One part; false where nothing waits. */
  async step(): Promise<boolean> {
    await this.bringBack();
    const worked = await this.parts.facts.takeNext((client, next) => this.convert(client, next));
    if (worked) await this.parts.changed();
    return worked;
  }

  /** Readings of the next part that lie in the cold store, before anything is held. */
  private async bringBack(): Promise<void> {
    const { facts } = this.parts;
    const next = await facts.nextWaiting();
    if (next === null) return;
    const { circuitId, before, doneUntil_s } = next;
    const { after } = await this.factsAfter(circuitId);
    if (differs(before, after, doneUntil_s)) await facts.bringBack(circuitId, doneUntil_s, this.most);
  }

  /** What holds of a circuit over time, and whether it is in service. */
  private async factsAfter(
    circuitId: number,
    client?: Queryable,
  ): Promise<{ after: FactsTimeline; inService: boolean }> {
    const { facts } = this.parts;
    const { facts: now, inService } = await facts.now(circuitId, client);
    const past = (await facts.pasts([circuitId], client)).get(circuitId) ?? [];
    return { after: [...past, { until_s: null, facts: now }], inService };
  }

  private async convert(client: Queryable, next: Reconversion): Promise<void> {
    const { facts, rejudge } = this.parts;
    const { circuitId, before, doneUntil_s, from_s } = next;
    const { after, inService } = await this.factsAfter(circuitId, client);
    if (differs(before, after, doneUntil_s)) {
      const { time_s, suctionPressure_Pa, dischargePressure_Pa, away_s } = await facts.pressures(
        ...([client, circuitId, doneUntil_s, this.most] as const),
      );
      if (time_s.length > 0) {
        const converted = reconverted(time_s, suctionPressure_Pa, dischargePressure_Pa, before, after);
        await facts.writePressures(client, circuitId, time_s, converted);
      }
      if (time_s.length === this.most)
        return facts.done(client, circuitId, time_s[time_s.length - 1] + 0.0005);
      // The rest is taken back first.
      if (away_s !== null) return facts.done(client, circuitId, away_s);
    }
    if (inService) await rejudge.markFrom(client, [circuitId], from_s);
    await facts.done(client, circuitId, null);
  }
}

/** Whether any reading from a moment on is converted otherwise by the one than by the other. */
function differs(before: FactsTimeline, after: FactsTimeline, from_s: number): boolean {
  const changes = [...before, ...after].flatMap(({ until_s }) =>
    until_s === null || until_s < from_s ? [] : [until_s],
  );
  return [from_s, ...changes].some((at_s) => !sameConverted(factsAt(before, at_s), factsAt(after, at_s)));
}
