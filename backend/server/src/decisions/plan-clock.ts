import type { FindingSubject } from '@coldrounds/core';
import type { DecisionRepository } from '../storage/decisions/decision.repository.js';
import type { EnergyRepository } from '../storage/repositories/energy.repository.js';
import type { FleetRepository } from '../storage/repositories/fleet.repository.js';
import type { NormalRepository } from '../storage/repositories/results/normal.repository.js';
import type { Database } from '../storage/index.js';

export interface PlanClockParts {
  database: Database;
  decisions: DecisionRepository;
  normals: Pick<NormalRepository, 'startAnew'>;
  energies: Pick<EnergyRepository, 'beginCounting'>;
  registry: Pick<FleetRepository, 'units'>;
  /** Called when the round may have changed. */
  returned: () => void;
  failed: (error: unknown) => void;
}

const look_ms = 60_000;
/** What came back while no process was running is looked for so far back. */
const lookBack_ms = 7 * 86_400_000;

/** Brings back what was put off or accepted when its day has come, and has normal learned anew after a visit that helped. */
export class PlanClock {
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private looked: Date;

  constructor(
    private readonly parts: PlanClockParts,
    private readonly now: () => Date = () => new Date(),
  ) {
    this.looked = new Date(this.now().getTime() - lookBack_ms);
  }

  start(): void {
    const look = () => {
      this.running = this.tick().catch((error: unknown) => this.parts.failed(error));
    };
    this.timer = setInterval(look, look_ms).unref();
    look();
  }

  async stop(): Promise<void> {
    clearInterval(this.timer);
    await this.running;
  }

  async tick(): Promise<void> {
    const until = this.now();
    if ((await this.parts.decisions.markReturned(this.looked, until)) > 0) this.parts.returned();
    this.looked = until;
    await this.learnAnew();
  }

  /** What a circuit does after it was put right is its normal from then on. */
  private learnAnew(): Promise<void> {
    const { database, decisions, registry, normals, energies } = this.parts;
    return database.transaction(async (client) => {
      const helped = await decisions.takeHelped(client);
      const units = await registry.units([...new Set(helped.map(({ unitId }) => unitId))], client);
      for (const { findingId, unitId, subject, closed } of helped) {
        const circuits = units.find(({ id }) => id === unitId)?.circuits ?? [];
        const touched = circuits.filter(({ number }) => concerns(subject, number)).map(({ id }) => id);
        if (touched.length === 0) continue;
        const closed_s = closed.getTime() / 1000;
        // What is saved from now on is measured against the normal of before.
        await energies.beginCounting(client, { findingId, circuitIds: touched, closed_s });
        await normals.startAnew(client, touched, {
          learnFrom_s: closed_s,
          reason: 'visit',
          detail: 'A visit put something right.',
        });
      }
    });
  }
}

const concerns = (subject: FindingSubject, circuit: number): boolean =>
  subject.kind === 'unit' || (subject.kind !== 'module' && subject.circuit === circuit);
