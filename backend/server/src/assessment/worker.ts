import { randomUUID } from 'node:crypto';
import { setMaxListeners } from 'node:events';
import { setTimeout as delay } from 'node:timers/promises';
import type { Logger } from 'pino';
import type { ModuleWorkRepository } from '../storage/assessment/module-work.repository.js';
import type { PeriodicWorkRepository } from '../storage/assessment/periodic-work.repository.js';
import { mayPass } from '../storage/connection/database-errors.js';
import { CircuitAssessor, optionsFor, type CircuitAssessorParts } from './circuit/circuit-assessor.js';
import { learnEvery_s, type AgeingCohorts } from './module/ageing-cohorts.js';
import type { ModuleAssessor } from './module/module-assessor.js';
import type { Reconverter } from './reconverter.js';
import { healthEvery_s, type DataHealthKeeper } from './data-health/data-health-keeper.js';
import type { SilenceWatch } from './silence-watch.js';

export interface AssessmentWorkerParts {
  circuits: Omit<CircuitAssessorParts, 'failed'>;
  modules: ModuleAssessor;
  moduleWork: ModuleWorkRepository;
  periodic: PeriodicWorkRepository;
  silence: SilenceWatch;
  dataHealth: DataHealthKeeper;
  cohorts: AgeingCohorts;
  reconverter: Reconverter;
  logger: Logger;
  /** Sets of circuits worked on at once. More than the pool has connections wait for one. */
  concurrency: number;
}

/** Circuits taken at once. */
const circuitSet = 16;
const moduleSet = 8;
const idle_ms = 2_000;
const silenceEvery_s = 60;
/** A module with news is assessed at most so often, … */
const modulePause_s = 20;
/** … and one without at most so often, and more seldom in a large fleet: two in three seconds over all. */
const moduleRefresh_s = (modules: number) => Math.max(900, 1.5 * modules);

/**
 * The role `assess`. Each lane takes a set of circuits or modules by a lease in the database, works on it and gives it
 * back, so that any number of assessors share the work and what a dead one held is taken over minutes later. While the
 * database is away every lane waits and then goes on by itself.
 */
export class AssessmentWorker {
  private readonly stopping = new AbortController();
  private lanes: Promise<void>[] = [];
  private said = false;

  constructor(private readonly parts: AssessmentWorkerParts) {}

  async start(): Promise<void> {
    setMaxListeners(0, this.stopping.signal);
    const circuitLanes = Array.from({ length: this.parts.concurrency }, () => this.circuitLane());
    this.lanes = [...circuitLanes, this.moduleLane(), this.periodicLane(), this.reconversionLane()];
  }

  /** Ends when what is being worked on is kept. */
  async stop(): Promise<void> {
    this.stopping.abort();
    await Promise.all(this.lanes);
  }

  /** The registry was changed. */
  registryChanged(): void {
    this.parts.circuits.fleet.changed();
  }

  private circuitLane(): Promise<void> {
    const { work } = this.parts.circuits;
    const holder = randomUUID();
    return this.lane(
      async () => {
        const count = await work.count();
        const options = optionsFor(count);
        const taken = await work.take(holder, options.policy, circuitSet);
        if (taken.length === 0) return false;
        const failed = (circuitId: number, error: unknown) =>
          this.parts.logger.error({ err: error, circuitId }, 'a circuit could not be assessed');
        await new CircuitAssessor({ ...this.parts.circuits, failed }, options).run(holder, taken);
        return true;
      },
      () => work.release(holder),
    );
  }

  private moduleLane(): Promise<void> {
    const { moduleWork, modules, circuits } = this.parts;
    const holder = randomUUID();
    return this.lane(
      async () => {
        const parts = await circuits.fleet.load();
        const refresh_s = moduleRefresh_s(parts.modules.size);
        const taken = await moduleWork.take(holder, refresh_s, modulePause_s, moduleSet);
        for (const moduleId of taken) {
          const found = parts.modules.get(moduleId);
          if (found !== undefined) await modules.run(found.unit, found.module);
        }
        await moduleWork.release(holder);
        return taken.length > 0;
      },
      () => moduleWork.release(holder),
    );
  }

  private periodicLane(): Promise<void> {
    const { periodic, silence, dataHealth, cohorts, moduleWork, circuits } = this.parts;
    return this.lane(
      async () => {
        await circuits.work.enrol();
        await moduleWork.enrol();
        if (await periodic.mine('watch-silence', silenceEvery_s)) await silence.look();
        const every_s = healthEvery_s(await circuits.work.count());
        if (await periodic.mine('data-health', every_s)) await dataHealth.look();
        if (await periodic.mine('ageing-cohorts', learnEvery_s)) await cohorts.learn();
        return false;
      },
      async () => {},
    );
  }

  /** Readings that a correction of the registry has converted anew. */
  private reconversionLane(): Promise<void> {
    return this.lane(
      () => this.parts.reconverter.step(),
      async () => {},
    );
  }

  /** Repeats `step` until stopped; waits where it found nothing to do, and longer and longer where it failed. */
  private async lane(step: () => Promise<boolean>, recover: () => Promise<void>): Promise<void> {
    const { signal } = this.stopping;
    let failures = 0;
    while (!signal.aborted) {
      let pause_ms: number;
      try {
        if (failures > 0) await recover();
        pause_ms = (await step()) ? 0 : idle_ms;
        if (failures > 0) this.backAgain();
        failures = 0;
      } catch (error) {
        failures++;
        pause_ms = Math.min(500 * 2 ** failures, 15_000);
        this.say(error);
      }
      if (pause_ms > 0) await delay(pause_ms, undefined, { signal }).catch(() => {});
    }
    await recover().catch(() => {});
  }

  private say(error: unknown): void {
    const { logger } = this.parts;
    if (!mayPass(error)) logger.error({ err: error }, 'the assessment failed');
    else if (!this.said) logger.warn({ err: error }, 'the assessment waits for the database');
    this.said ||= mayPass(error);
  }

  private backAgain(): void {
    if (this.said) this.parts.logger.info('the assessment goes on');
    this.said = false;
  }
}
