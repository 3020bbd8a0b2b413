import { pino } from 'pino';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { AgeingCohorts } from '../../backend/server/src/assessment/module/ageing-cohorts.js';
import { ModuleAssessor } from '../../backend/server/src/assessment/module/module-assessor.js';
import { Reconverter } from '../../backend/server/src/assessment/reconverter.js';
import { RejudgeRepository } from '../../backend/server/src/storage/assessment/rejudge.repository.js';
import { FactsRepository } from '../../backend/server/src/storage/registry/facts.repository.js';
import { SilenceWatch } from '../../backend/server/src/assessment/silence-watch.js';
import { AssessmentWorker } from '../../backend/server/src/assessment/worker.js';
import { ModuleWorkRepository } from '../../backend/server/src/storage/assessment/module-work.repository.js';
import { PeriodicWorkRepository } from '../../backend/server/src/storage/assessment/periodic-work.repository.js';
import { DataHealthKeeper } from '../../backend/server/src/assessment/data-health/data-health-keeper.js';
import { DataHealthRepository } from '../../backend/server/src/storage/delivery/data-health.repository.js';
import { SilenceRepository } from '../../backend/server/src/storage/assessment/silence.repository.js';
import {
  createPool,
  Database,
  emptyBatch,
  IngestRepository,
  migrate,
} from '../../backend/server/src/storage/index.js';
import { AgeingCohortRepository } from '../../backend/server/src/storage/repositories/results/ageing-cohort.repository.js';
import { ModuleRepository } from '../../backend/server/src/storage/repositories/results/module.repository.js';
import { unreadQuota } from '../../backend/server/src/storage/incoming/write-unread.js';
import { assessorParts, startOfEnded_s } from '../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { until } from '../support/publish.js';
import { runningPack } from '../support/running-pack.js';
import { storeMessages } from '../support/store/stored.js';

const unit = 'coldrounds/1/harbour/chiller-1';

/** A pack on the closing topic, its samples at these times. */
const closingPack = (times_s: number[]) =>
  JSON.stringify(
    times_s.flatMap((t) => [
      { n: 'voltage', u: 'V', t, v: 15 },
      { n: 'valve-opening', u: '%', t, v: 50 },
    ]),
  );

describe('one that goes wrong stops nothing else:', () => {
  let server: DatabaseServer;
  let database: Database;

  beforeAll(async () => void (server = await startDatabaseServer()));
  afterAll(() => server?.stop());
  beforeEach(async () => {
    await database?.close();
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 2, 1);
  });
  afterAll(() => database?.close());

  const one = async <Row extends object>(text: string) => (await database.query(text)).rows[0] as Row;
  const moduleParts = (by: Database) => {
    const { readings, findings } = assessorParts(by);
    return { work: new ModuleWorkRepository(by), modules: new ModuleRepository(by), readings, findings };
  };
  /** Assesses the modules that are due, one round. */
  const assessModules = async () => {
    const parts = moduleParts(database);
    await parts.work.enrol();
    const { modules } = await assessorParts(database).fleet.load();
    const taken = await parts.work.take('test', 900, 0, 10);
    for (const id of taken) {
      const { unit: owner, module } = modules.get(id)!;
      await new ModuleAssessor(parts).run(owner, module);
    }
    await parts.work.release('test');
    return taken;
  };

  it('a closing whose samples span days is kept as unread', async () => {
    const now_s = Date.now() / 1000 - 3600;
    const samples = Array.from({ length: 200 }, (_, i) => now_s + 0.05 * i);
    await storeMessages(database, [
      { topic: `${unit}/backup/1/closing`, payload: closingPack([now_s - 10 * 86_400, ...samples]) },
    ]);
    expect(await one('select reason from unread_message')).toEqual({ reason: 'closing-too-long' });
    expect((await database.query('select from closing')).rowCount).toBe(0);
    await storeMessages(database, [{ topic: `${unit}/backup/1/closing`, payload: closingPack(samples) }]);
    expect((await database.query('select from closing')).rowCount).toBe(1);
  });

  it('a closing that cannot be judged is kept with its reason, and its module is assessed', async () => {
    const now_s = Date.now() / 1000 - 3600;
    const samples = Array.from({ length: 200 }, (_, i) => now_s + 0.05 * i);
    await storeMessages(database, [{ topic: `${unit}/backup/1/closing`, payload: closingPack(samples) }]);
    // As such a closing was stored before: 50 ms are lost in single precision ten days after its first sample.
    await database.query(
      `update closing set time_s = (select array_agg((864000 + 0.05 * i)::real order by i) from generate_series(0, 199) as i)`,
    );
    expect(await assessModules()).toEqual([1]);
    const { kind, reason } = await one<{ kind: string; reason: string }>(
      'select kind, reason from not_judged',
    );
    expect(kind).toBe('closing');
    expect(reason).toMatch(/rise|time/i);
    expect(await one('select count(*)::int as n from closing_due')).toEqual({ n: 0 });
    expect(
      await one('select attempts, assessed_at is not null as assessed from module_state where module_id = 1'),
    ).toEqual({
      attempts: 0,
      assessed: true,
    });
    expect(await assessModules()).toEqual([]);
  });

  it('what a module shows while older telemetry of its unit waits to be judged is provisional', async () => {
    const now_s = Math.floor(Date.now() / 1000);
    const resting = Array.from({ length: 600 }, (_, i) => {
      const t = now_s - 60 * (600 - i);
      return [
        { n: 'voltage', u: 'V', t, v: 11 },
        { n: 'mains', t, vb: true },
        { n: 'health', t, vb: false },
      ];
    });
    await storeMessages(database, [
      { topic: `${unit}/backup/1`, payload: JSON.stringify(resting.flat()) },
      {
        topic: `${unit}/circuits/1`,
        payload: runningPack(startOfEnded_s(3), 720, {
          suctionPressure_Pa: 250_000,
          suctionTemperature_C: 6,
        }),
      },
    ]);
    const said = async () =>
      (
        await database.query<{ condition: string; provisional: boolean }>(
          `select condition, provisional from finding where source = 'module/1' order by 1`,
        )
      ).rows;
    expect(await assessModules()).toEqual([1]);
    const found = await said();
    expect(found).not.toEqual([]);
    expect(found.filter(({ provisional }) => !provisional)).toEqual([]);
    // The windows of its circuit are judged; then it is assessed anew.
    await database.query('delete from window_due');
    await database.query(`update module_state set assessed_at = now() - interval '1 day'`);
    expect(await assessModules()).toEqual([1]);
    const settled = found.map((one) => ({ ...one, provisional: false }));
    expect(await said()).toEqual(expect.arrayContaining(settled));
  });

  it('a module with only old telemetry does not stay due', async () => {
    const old_s = Date.now() / 1000 - 60 * 86_400;
    await storeMessages(database, [
      { topic: `${unit}/backup/1`, payload: JSON.stringify([{ n: 'voltage', u: 'V', t: old_s, v: 15 }]) },
    ]);
    expect(await one('select count(*)::int as n from module_due')).toEqual({ n: 1 });
    expect(await assessModules()).toEqual([1]);
    expect(await one('select count(*)::int as n from module_due')).toEqual({ n: 0 });
  });

  it('more lanes of assessment than connections finish all the same', async () => {
    const small = new Database(createPool(await server.newDatabase(), { max: 2 }));
    await migrate(small.pool);
    await seedFleet(small, 40, 1);
    const first_s = startOfEnded_s(3);
    await storeMessages(
      small,
      Array.from({ length: 40 }, (_, u) => ({
        topic: `coldrounds/1/harbour/chiller-${u + 1}/circuits/1`,
        payload: runningPack(first_s, 720, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      })),
    );
    await small.query(`update window_due set touched_at = now() - interval '1 hour'`);
    const circuits = assessorParts(small);
    const parts = moduleParts(small);
    const worker = new AssessmentWorker({
      circuits,
      modules: new ModuleAssessor(parts),
      moduleWork: parts.work,
      periodic: new PeriodicWorkRepository(small),
      silence: new SilenceWatch({
        fleet: circuits.fleet,
        findings: circuits.findings,
        silence: new SilenceRepository(small),
      }),
      dataHealth: new DataHealthKeeper({
        silence: new SilenceRepository(small),
        dataHealth: new DataHealthRepository(small),
      }),
      cohorts: new AgeingCohorts({ cohorts: new AgeingCohortRepository(small), fleet: circuits.fleet }),
      reconverter: new Reconverter({
        facts: new FactsRepository(small),
        rejudge: new RejudgeRepository(small),
        changed: async () => {},
      }),
      logger: pino({ level: 'silent' }),
      concurrency: 12,
    });
    await worker.start();
    await until('a finding on each', async () => {
      const { rows } = await small.query<{ n: number }>(
        `select count(*)::int as n from finding where condition = 'floodback-risk'`,
      );
      return rows[0].n === 40;
    });
    await worker.stop();
    await small.close();
  });

  it('a pack with relative times, delivered twice, makes one row, and two samples make two', async () => {
    const payload = JSON.stringify([{ n: 'valve-opening', u: '%', v: 40 }]);
    const topic = `${unit}/circuits/1`;
    const rows = async () => (await database.query('select from reading')).rowCount;
    // Sent twice by its sender.
    await storeMessages(database, [
      { topic, payload, receivedAt_ms: 1_790_000_000_000 },
      { topic, payload, receivedAt_ms: 1_790_000_000_400 },
    ]);
    expect(await rows()).toBe(1);
    // The next sample, with the same value.
    const next = { topic, payload, receivedAt_ms: 1_790_000_010_000, delivery: 'ingest:7' };
    await storeMessages(database, [next]);
    expect(await rows()).toBe(2);
    // Sent again by the broker a minute later, to an ingester that has started anew.
    const connectedAt_ms = next.receivedAt_ms + 55_000;
    await storeMessages(database, [
      { ...next, receivedAt_ms: next.receivedAt_ms + 60_000, mayBeRedelivered: true, connectedAt_ms },
    ]);
    expect(await rows()).toBe(2);
  });

  it('a gateway that sends nothing readable keeps within its quota, and the rest is counted', async () => {
    const repository = new IngestRepository(database.pool);
    const unread = (topic: string, reason: string) => ({
      topic,
      payload: Buffer.from('{'),
      reason,
      detail: 'It is not JSON.',
      receivedAt_ms: Date.now(),
      delivery: null,
      redelivered: false,
      connectedAt_ms: 0,
    });
    const many = Array.from({ length: 400 }, () => unread(`${unit}/water`, 'not-json'));
    for (let batch = 0; batch < 3; batch++) await repository.write({ ...emptyBatch(), unread: many });
    await repository.write({
      ...emptyBatch(),
      unread: [
        unread(`${unit}/water`, 'not-text'),
        unread('coldrounds/1/harbour/chiller-2/water', 'not-json'),
      ],
    });
    const kept = await database.query(
      'select reason, count(*)::int as n from unread_message group by 1 order by 1',
    );
    expect(kept.rows).toEqual([
      { reason: 'not-json', n: unreadQuota.messages + 1 },
      { reason: 'not-text', n: 1 },
    ]);
    expect(
      await one(
        `select kept, not_kept from unread_count where source = 'harbour/chiller-1' and reason = 'not-json'`,
      ),
    ).toEqual({ kept: unreadQuota.messages, not_kept: 1200 - unreadQuota.messages });
  });

  it('units of which history comes in do not hide one that is silent', async () => {
    const { findings, fleet } = assessorParts(database);
    const now_s = Date.now() / 1000;
    await storeMessages(
      database,
      [1, 2].map((n) => ({
        topic: `coldrounds/1/harbour/chiller-${n}/circuits/1`,
        payload: runningPack(now_s - 2 * 86_400, 10, {
          suctionPressure_Pa: 250_000,
          suctionTemperature_C: 6,
        }),
      })),
    );
    // The second unit's gateway has stopped; the first one's goes on sending history.
    await database.query(
      `update window_due set touched_at = now() - interval '20 minutes' where circuit_id = 2`,
    );
    let clock_s = now_s;
    const watch = new SilenceWatch(
      { findings, fleet, silence: new SilenceRepository(database) },
      () => clock_s,
    );
    await watch.look();
    expect((await database.query('select from finding')).rowCount).toBe(0);
    clock_s += 660;
    await watch.look();
    expect(
      (await database.query('select unit_id, condition from finding where ended_at is null')).rows,
    ).toEqual([{ unit_id: 2, condition: 'no-telemetry' }]);
  });
});
