import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { SeriesRepository } from '../../backend/server/src/storage/repositories/readings/series.repository.js';
import { assessorParts, everythingDue, startOfEnded_s } from '../support/assessor.js';
import {
  type DatabaseServer,
  engines,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { circuitPack } from '../support/publish.js';
import { storeMessages } from '../support/store/stored.js';

const start_s = startOfEnded_s(4);

describe.each(engines)('rollups on $name', ({ url, skip }) => {
  let server: DatabaseServer;
  let database: Database;
  beforeAll(async () => {
    if (skip) return;
    server = await startDatabaseServer(url);
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 1, 1);
    // Two windows with half an hour missing between, and a third that was never sent.
    await storeMessages(database, [
      { topic: 'coldrounds/1/harbour/chiller-1/circuits/1', payload: circuitPack(start_s, 600) },
      { topic: 'coldrounds/1/harbour/chiller-1/circuits/1', payload: circuitPack(start_s + 7800, 600) },
    ]);
    const parts = assessorParts(database);
    await parts.work.enrol();
    const taken = await parts.work.take('test', everythingDue, 10);
    await new CircuitAssessor(parts, { ...defaultCircuitOptions, policy: everythingDue }).run('test', taken);
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  it.skipIf(skip)('say in every bin what the samples say', async () => {
    const series = new SeriesRepository(database);
    const [from_s, to_s] = [start_s + 240, start_s + 13_200];
    const rolled = await series.bins('rollups', 1, from_s, to_s, 120);
    const direct = await series.bins('readings', 1, from_s, to_s, 120);
    expect([...rolled.time_s]).toEqual([...direct.time_s]);
    expect(rolled.time_s.length).toBeGreaterThan(90);
    for (const name of ['superheat', 'superheatMinimum', 'openingMaximum', 'suctionPressure', 'load'])
      for (const [i, value] of direct[name].entries())
        expect(Math.abs(rolled[name][i] - value), `${name} ${i}`).toBeLessThanOrEqual(1e-4 * Math.abs(value));
    expect(await series.rolledUpTo_s(1)).toBe(start_s + 7800 + 6000 - 120);
  });
});
