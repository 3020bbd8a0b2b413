import type { CircuitAssessorParts } from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { FleetParts } from '../../backend/server/src/assessment/fleet-parts.js';
import { FleetWearSummary } from '../../backend/server/src/assessment/fleet-wear.js';
import { LikeUnits } from '../../backend/server/src/assessment/circuit/like-units.js';
import { NormalKeeper } from '../../backend/server/src/assessment/circuit/normal-keeper.js';
import { FindingKeeper } from '../../backend/server/src/findings/finding-keeper.js';
import { FleetService } from '../../backend/server/src/registry/fleet.service.js';
import {
  CircuitWorkRepository,
  type DuePolicy,
} from '../../backend/server/src/storage/assessment/circuit-work.repository.js';
import type { ColdReader } from '../../backend/server/src/storage/cold/cold-reader.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { FindingRepository } from '../../backend/server/src/storage/repositories/findings/finding.repository.js';
import { FactsRepository } from '../../backend/server/src/storage/registry/facts.repository.js';
import { FleetRepository } from '../../backend/server/src/storage/repositories/fleet.repository.js';
import { EnergyRepository } from '../../backend/server/src/storage/repositories/energy.repository.js';
import { NormalRepository } from '../../backend/server/src/storage/repositories/results/normal.repository.js';
import { ReadingRepository } from '../../backend/server/src/storage/repositories/readings/reading.repository.js';
import { SeriesRepository } from '../../backend/server/src/storage/repositories/readings/series.repository.js';
import { WindowRepository } from '../../backend/server/src/storage/repositories/results/window.repository.js';

/** Everything is due at once. */
export const everythingDue: DuePolicy = {
  settledHistory_s: 0,
  settled_s: 0,
  provisional_s: 300,
  pauseLoading_s: 0,
  pause_s: 0,
};

/** Start of the window of two hours that ended `ago` windows before the running one began. */
export const startOfEnded_s = (ago: number): number => (Math.floor(Date.now() / 7_200_000) - ago) * 7200;

/** @param cold reads what was moved to the cold store */
export function assessorParts(database: Database, cold: ColdReader | null = null): CircuitAssessorParts {
  const windows = new WindowRepository(database);
  const normals = new NormalRepository(database);
  const fleet = new FleetParts(new FleetService(new FleetRepository(database)));
  return {
    work: new CircuitWorkRepository(database, windows),
    windows,
    readings: new ReadingRepository(database, cold),
    findings: new FindingKeeper(new FindingRepository(database), () => {}),
    normals: new NormalKeeper(
      {
        ...{ normals, windows, like: new LikeUnits({ normals, fleet }) },
        series: new SeriesRepository(database, cold),
        energies: new EnergyRepository(database),
      },
      1,
    ),
    facts: new FactsRepository(database),
    fleet,
    wear: new FleetWearSummary(() => windows.fleetWear()),
  };
}
