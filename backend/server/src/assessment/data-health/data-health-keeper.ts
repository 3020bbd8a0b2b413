import type { SilenceRepository } from '../../storage/assessment/silence.repository.js';
import type { DataHealthRepository } from '../../storage/delivery/data-health.repository.js';
import { unitHealth } from './unit-health.js';

export interface DataHealthKeeperParts {
  silence: Pick<SilenceRepository, 'lastHeard'>;
  dataHealth: Pick<DataHealthRepository, 'lastDay' | 'keep'>;
}

/** How often it is worked out for all units, s: more seldom in a large fleet, as it goes through all hours of a day. */
export const healthEvery_s = (circuits: number): number => Math.max(60, circuits / 80);

/** Keeps how the telemetry of each unit comes, for the pages and the portfolio. */
export class DataHealthKeeper {
  constructor(
    private readonly parts: DataHealthKeeperParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async look(): Promise<void> {
    const { silence, dataHealth } = this.parts;
    const asOf_s = this.now_s();
    const heard = await silence.lastHeard();
    const days = new Map((await dataHealth.lastDay()).map((day) => [day.unitId, day]));
    await dataHealth.keep([...heard.values()].map((unit) => unitHealth(unit, days.get(unit.unitId), asOf_s)));
  }
}
