import { Logger as WorkerLogger, parseCronItems, run, type Runner } from 'graphile-worker';
import type { Logger } from 'pino';
import { unitName, type FleetCircuit, type FleetModule, type FleetUnit } from '../registry/fleet.js';
import type { FleetService } from '../registry/fleet.service.js';
import type { Database } from '../storage/index.js';
import type { DueRepository } from '../storage/repositories/due.repository.js';
import { defaultCircuitOptions, type CircuitAssessor, type Remaining } from './circuit-assessor.js';
import type { ModuleAssessor } from './module-assessor.js';
import type { SilenceWatch } from './silence-watch.js';

export interface AssessmentWorkerParts {
  database: Database;
  fleet: FleetService;
  due: DueRepository;
  circuits: CircuitAssessor;
  modules: ModuleAssessor;
  silence: SilenceWatch;
  logger: Logger;
  concurrency: number;
}

const poll_ms = 2_000;
const moduleRefresh_s = 900;
/** First numbers of the locks under which circuits and modules are assessed; the second is the store's id. */
const lock = { circuit: 1, module: 2 };

/**
 * The role `assess`: looks for what is due, and works through it from a queue in the database, so that several
 * assessors share the work and none is lost when one ends.
 */
export class AssessmentWorker {
  private runner: Runner | undefined;
  private timer: NodeJS.Timeout | undefined;
  private polling: Promise<void> | undefined;
  private stopping = false;

  constructor(private readonly parts: AssessmentWorkerParts) {}

  async start(): Promise<void> {
    const { database, concurrency, logger } = this.parts;
    this.runner = await run({
      pgPool: database.pool,
      concurrency,
      noHandleSignals: true,
      pollInterval: 1_000,
      logger: new WorkerLogger(() => (level, message) => {
        if (level === 'error') logger.error(message);
        else if (level === 'warning') logger.warn(message);
        else logger.trace(message);
      }),
      parsedCronItems: parseCronItems([
        { task: 'watch-silence', match: '* * * * *', options: { jobKey: 'watch-silence', maxAttempts: 1 } },
      ]),
      taskList: {
        'assess-circuit': (payload) => this.assessCircuit(payload as { circuitId: number }),
        'assess-module': (payload) => this.assessModule(payload as { moduleId: number }),
        'watch-silence': () => this.parts.silence.look(),
      },
    });
    this.schedulePoll(0);
  }

  async stop(): Promise<void> {
    this.stopping = true;
    clearTimeout(this.timer);
    await this.polling?.catch(() => {});
    await this.runner?.stop();
  }

  private schedulePoll(delay_ms: number): void {
    if (this.stopping) return;
    this.timer = setTimeout(() => {
      this.polling = this.poll()
        .catch((error: unknown) => this.parts.logger.warn({ err: error }, 'could not look for due windows'))
        .finally(() => this.schedulePoll(poll_ms));
    }, delay_ms);
  }

  private async poll(): Promise<void> {
    const { due } = this.parts;
    for (const circuitId of await due.circuits(defaultCircuitOptions.policy))
      await this.queueCircuit(circuitId, 0);
    for (const moduleId of await due.modules(moduleRefresh_s)) await this.queueModule(moduleId, 0);
  }

  private async queueModule(moduleId: number, delay_s: number): Promise<void> {
    await this.runner!.addJob(
      'assess-module',
      { moduleId },
      {
        jobKey: `module-${moduleId}`,
        jobKeyMode: 'preserve_run_at',
        runAt: new Date(Date.now() + delay_s * 1000),
        priority: 1,
        maxAttempts: 3,
      },
    );
  }

  private async queueCircuit(circuitId: number, delay_s: number): Promise<void> {
    await this.runner!.addJob(
      'assess-circuit',
      { circuitId },
      {
        jobKey: `circuit-${circuitId}`,
        jobKeyMode: 'preserve_run_at',
        runAt: new Date(Date.now() + delay_s * 1000),
        maxAttempts: 5,
      },
    );
  }

  private async assessCircuit({ circuitId }: { circuitId: number }): Promise<void> {
    const found = await this.find(({ circuits }) => circuits, circuitId);
    if (found === undefined) return;
    const remaining = await this.guarded(`${unitName(found.unit)} circuit ${found.part.number}`, () =>
      this.parts.database.unlessRunning([lock.circuit, circuitId], () =>
        this.parts.circuits.run(found.unit, found.part),
      ),
    );
    await this.again(remaining, (delay_s) => this.queueCircuit(circuitId, delay_s));
  }

  private async assessModule({ moduleId }: { moduleId: number }): Promise<void> {
    const found = await this.find(({ modules }) => modules, moduleId);
    if (found === undefined) return;
    const remaining = await this.guarded(`${unitName(found.unit)} module ${found.part.number}`, () =>
      this.parts.database.unlessRunning([lock.module, moduleId], () =>
        this.parts.modules.run(found.unit, found.part),
      ),
    );
    await this.again(remaining, (delay_s) => this.queueModule(moduleId, delay_s));
  }

  /** Where the part was being assessed already, whoever does it queues it again; and what stays due is seen anyway. */
  private async again(
    remaining: Remaining | undefined,
    queue: (delay_s: number) => Promise<void>,
  ): Promise<void> {
    const again_s = remaining?.again_s ?? null;
    if (again_s !== null && !this.stopping) await queue(again_s);
  }

  /** Says which part of the fleet an error belongs to; the queue tries again later. */
  private async guarded<Result>(subject: string, work: () => Promise<Result>): Promise<Result> {
    try {
      return await work();
    } catch (error) {
      this.parts.logger.error({ err: error, subject }, 'an assessment failed');
      throw error;
    }
  }

  private async find<Part extends FleetCircuit | FleetModule>(
    parts: (unit: FleetUnit) => Part[],
    id: number,
  ): Promise<{ unit: FleetUnit; part: Part } | undefined> {
    const { units } = await this.parts.fleet.fleet();
    for (const unit of units) {
      const part = parts(unit).find((candidate) => candidate.id === id);
      if (part !== undefined) return { unit, part };
    }
    return undefined;
  }
}
