import { afterAll, beforeAll, beforeEach, afterEach, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
  type CircuitAssessorParts,
} from '../../backend/server/src/assessment/circuit-assessor.js';
import { FindingKeeper } from '../../backend/server/src/findings/finding-keeper.js';
import type { FleetCircuit, FleetUnit } from '../../backend/server/src/registry/fleet.js';
import { FleetService } from '../../backend/server/src/registry/fleet.service.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { DueRepository } from '../../backend/server/src/storage/repositories/due.repository.js';
import { FindingRepository } from '../../backend/server/src/storage/repositories/finding.repository.js';
import { FleetRepository } from '../../backend/server/src/storage/repositories/fleet.repository.js';
import { ReadingRepository } from '../../backend/server/src/storage/repositories/reading.repository.js';
import { WindowRepository } from '../../backend/server/src/storage/repositories/window.repository.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/database.js';
import { seedFleet } from '../support/fleet.js';
import { runningPack } from '../support/running-pack.js';
import { storeMessages } from '../support/stored.js';

/** Start of a window of two hours that has ended. */
const first_s = Math.floor(Date.now() / 7_200_000) * 7200 - 2 * 7200;
/** Everything is due at once, and nothing waits for its predecessor to end. */
const policy = { settledHistory_s: 0, settled_s: 0, provisional_s: 300, abandoned_s: 0 };

describe('an assessor that is killed', () => {
  let server: DatabaseServer;
  let database: Database;
  let parts: CircuitAssessorParts;
  let unit: FleetUnit;
  let circuit: FleetCircuit;

  beforeAll(async () => void (server = await startDatabaseServer()));
  afterAll(() => server?.stop());
  beforeEach(async () => {
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 1, 1);
    await storeMessages(database, [
      {
        // R134a at 2.5 bar gauge at sea level boils at 5.1 C (COMPUTED, CoolProp 8.0.0): 0.9 K of superheat.
        topic: 'coldrounds/1/harbour/chiller-1/circuits/1',
        payload: runningPack(first_s, 720, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      },
    ]);
    parts = {
      due: new DueRepository(database),
      windows: new WindowRepository(database),
      readings: new ReadingRepository(database),
      findings: new FindingKeeper(new FindingRepository(database), () => {}),
    };
    [unit] = (await new FleetService(new FleetRepository(database), async () => {}).fleet()).units;
    [circuit] = unit.circuits;
  });
  afterEach(() => database?.close());

  const assess = (by: CircuitAssessorParts, later_s = 0) =>
    new CircuitAssessor(by, { ...defaultCircuitOptions, policy }, () => Date.now() / 1000 + later_s).run(
      unit,
      circuit,
    );
  const open = async () =>
    (await database.query<{ condition: string }>('select condition from finding where ended_at is null'))
      .rows;
  const end = () => Promise.reject(new Error('ended here'));

  it.each([
    ['after the windows were judged', () => ({ windows: patched(parts.windows, { assessments: end }) })],
    ['before the findings were kept', () => ({ findings: patched(parts.findings, { keep: end }) })],
  ])('%s leaves the circuit to the next one', async (_, broken) => {
    await expect(assess({ ...parts, ...broken() })).rejects.toThrow('ended here');
    expect(await open()).toEqual([]);
    expect(await parts.due.circuits(policy)).toEqual([circuit.id]);
    await assess(parts, 60);
    expect(await open()).toContainEqual({ condition: 'floodback-risk' });
    expect(await parts.due.circuits(policy)).toEqual([]);
  });

  it('holds its circuit no longer than it lives, and keeps others from doing its work twice', async () => {
    const runs: string[] = [];
    let finish = () => {};
    const first = database.unlessRunning([1, circuit.id], async () => {
      runs.push('first');
      await new Promise<void>((resolve) => (finish = resolve));
      throw new Error('ended here');
    });
    while (runs.length === 0) await new Promise((resolve) => setTimeout(resolve, 10));
    expect(await database.unlessRunning([1, circuit.id], async () => runs.push('second'))).toBeUndefined();
    expect(await database.unlessRunning([1, circuit.id + 1], async () => 'another circuit')).toBe(
      'another circuit',
    );
    finish();
    await expect(first).rejects.toThrow('ended here');
    expect(await database.unlessRunning([1, circuit.id], async () => 'third')).toBe('third');
    expect(runs).toEqual(['first']);
  });
});

/** A part of which some methods do otherwise. */
function patched<Part extends object>(part: Part, methods: Partial<Part>): Part {
  return Object.assign(Object.create(part) as Part, methods);
}
