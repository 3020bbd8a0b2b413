import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { MissingSamplesRepository } from '../../backend/server/src/storage/assessment/missing-samples.repository.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { assessorParts, everythingDue, startOfEnded_s } from '../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { runningPack } from '../support/running-pack.js';
import { storeMessages } from '../support/store/stored.js';

const state = { suctionPressure_Pa: 250_000, suctionTemperature_C: 11 };
const packSteps = 6;
const pack_s = 10 * packSteps;

describe('telemetry that is lost on its way', () => {
  let server: DatabaseServer;
  let database: Database;
  const start_s = startOfEnded_s(6);

  beforeAll(async () => {
    server = await startDatabaseServer();
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 2, 1);
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  const send = (unit: number, packs: number[]) =>
    storeMessages(
      database,
      packs.map((n) => ({
        topic: `coldrounds/1/harbour/chiller-${unit}/circuits/1`,
        payload: runningPack(start_s + n * pack_s, packSteps, state),
      })),
    );
  const judge = async () => {
    const parts = assessorParts(database);
    await parts.work.enrol();
    for (;;) {
      const taken = await parts.work.take('test', everythingDue, 10);
      if (taken.length === 0) return;
      await new CircuitAssessor(parts, { ...defaultCircuitOptions, policy: everythingDue }).run(
        'test',
        taken,
      );
    }
  };
  const missing = () => new MissingSamplesRepository(database);
  /** Minutes of two windows, a pack each. */
  const packs = Array.from({ length: 240 }, (_, n) => n);
  // A queue that is full most of the time lets some through: of ten packs three are dropped.
  const dropped = packs.filter((n) => [3, 4, 8].includes(n % 10));

  it('is told by unit and hour, by what the sampling promises', async () => {
    await send(
      1,
      packs.filter((n) => !dropped.includes(n)),
    );
    await send(2, packs);
    await judge();
    const { samples, units } = await missing().totals();
    // The last pack of all came, so that nothing is missing at the end.
    expect({ samples, units }).toEqual({ samples: dropped.length * packSteps, units: 1 });
    const [worst] = await missing().worst(5);
    expect(worst).toMatchObject({ site: 'harbour', unit: 'chiller-1' });
    expect(worst.hours).toEqual(
      [0, 1, 2, 3].map((hour) => ({ hour_s: start_s + 3600 * hour, expected: 360, received: 252 })),
    );
  });

  it('is no longer told once it has come', async () => {
    await send(1, dropped);
    await judge();
    expect(await missing().totals()).toEqual({ samples: 0, units: 0, sites: 0 });
  });

  it('is told of whole hours without a sample, once the next one has come', async () => {
    // Two windows were lost; the one after them came.
    await send(
      2,
      Array.from({ length: 120 }, (_, n) => 480 + n),
    );
    await judge();
    const { samples } = await missing().totals();
    expect(samples).toBe(4 * 360);
    expect((await missing().worst(1))[0].hours.map(({ received }) => received)).toEqual([0, 0, 0, 0]);
  });

  it('is told once where the silence begins in one window and ends in another, both judged together', async () => {
    // Half an hour of the third window, then nothing before the fifth.
    await send(1, [
      ...Array.from({ length: 30 }, (_, n) => 240 + n),
      ...Array.from({ length: 120 }, (_, n) => 480 + n),
    ]);
    await judge();
    const { rows } = await database.query<{ open: number }>(
      'select count(*)::int as open from circuit_state where owed_since is not null',
    );
    expect(rows[0].open).toBe(0);
    const one = (await missing().worst(5)).find(({ unit }) => unit === 'chiller-1')!;
    expect(one.hours).toEqual(
      [180, 0, 0, 0].map((received, n) => ({ hour_s: start_s + 3600 * (4 + n), expected: 360, received })),
    );
  });
});
