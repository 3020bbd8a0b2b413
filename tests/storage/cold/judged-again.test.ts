import { randomUUID } from 'node:crypto';
import { simulateCircuit, type CircuitCase } from '@coldrounds/simulator';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
} from '../../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { FleetService } from '../../../backend/server/src/registry/fleet.service.js';
import { RejudgeRepository } from '../../../backend/server/src/storage/assessment/rejudge.repository.js';
import type { Database } from '../../../backend/server/src/storage/index.js';
import { FleetRepository } from '../../../backend/server/src/storage/repositories/fleet.repository.js';
import { DailyFiguresRepository } from '../../../backend/server/src/storage/repositories/results/daily-figures.repository.js';
import { WindowRepository } from '../../../backend/server/src/storage/repositories/results/window.repository.js';
import { StudyRepository } from '../../../backend/server/src/storage/repositories/study.repository.js';
import { AskService } from '../../../backend/server/src/study/ask/ask.service.js';
import type { Question } from '../../../backend/server/src/study/ask/question.js';
import { assessorParts, everythingDue } from '../../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../../support/store/database.js';
import { storeSeries } from '../../support/store/store-series.js';
import { hotRows, openStore, type OpenStore } from './cold-case.js';

const day_s = 86_400;
const days = 2;
/** Old enough to be moved in whole weeks after 35 days. */
const start_s = Math.floor(Date.now() / 1000 / day_s) * day_s - 46 * day_s;
const cases: (CircuitCase & { circuits: 1 | 2 })[] = [
  { seed: 11, circuits: 2, faults: [{ kind: 'loop-tuned-too-hard', circuit: 1 }] },
  { seed: 15, circuits: 1, faults: [{ kind: 'condenser-fouling', share: 0.5, circuit: 1 }] },
];

describe('telemetry of the simulator, judged again after it was moved to the cold store', () => {
  let server: DatabaseServer;
  let database: Database;
  let cold: OpenStore;

  const work = async () => {
    const parts = assessorParts(database, cold.store.reader);
    await parts.work.enrol();
    for (;;) {
      const holder = randomUUID();
      const taken = await parts.work.take(holder, everythingDue, 4);
      if (taken.length === 0) return;
      await new CircuitAssessor(parts, { ...defaultCircuitOptions, policy: everythingDue }).run(
        holder,
        taken,
      );
    }
  };
  const judged = () =>
    new WindowRepository(database).since([1, 2, 3].map((id) => ({ id, from_s: start_s - day_s })));
  const answers = async () => {
    const asking = new AskService({
      fleet: new FleetService(new FleetRepository(database)),
      days: new DailyFiguresRepository(database),
      study: new StudyRepository(database),
    });
    const question: Question = {
      ...{ of: 'circuits', where: [], sites: null, condition: null, ranges: [] },
      ...{ from_s: start_s - day_s, to_s: start_s + (days + 1) * day_s, period: 'week' },
      ...{ picture: 'distribution', quantity: 'superheatMean_K', against: null, over: null, split: 'unit' },
    };
    return [
      await asking.ask(question),
      await asking.ask({ ...question, quantity: 'huntingFraction' }),
      await asking.ask({ ...question, picture: 'scatter', against: 'compressorLoad_pct' }),
    ];
  };

  beforeAll(async () => {
    server = await startDatabaseServer();
    database = await openMigrated(await server.newDatabase());
    cold = await openStore(database);
    await database.query(
      `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
       values ('harbour', 'Harbour House', 100, 40, -8, 'UTC', 'mild')`,
    );
    for (const [index, one] of cases.entries()) {
      const { unit, series, neighbours } = simulateCircuit({ ...one, days, start_s });
      const unitId = index + 1;
      await database.query(
        `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
         values (1, $1, $1, $2, $3, $4, '2023-04-01', '1.0')`,
        [`chiller-${unitId}`, unit.refrigerant, unit.nominalCapacity_W, unit.condenser],
      );
      for (const [at, own] of [series, ...neighbours].entries()) {
        const { rows } = await database.query<{ id: number }>(
          'insert into circuit (unit_id, number, entry) values ($1, $2, $3) returning id',
          [unitId, at + 1, unit.circuits[at]],
        );
        await storeSeries(database, { circuitId: rows[0].id, unitId }, unit.refrigerant, own, at === 0);
      }
    }
  }, 240_000);
  afterAll(async () => {
    await cold?.close();
    await database?.close();
    await server?.stop();
  });

  it('gives the same windows, and the same answers of the study', async () => {
    await work();
    const before = await judged();
    const asked = await answers();
    expect(before.get(1)!.length).toBeGreaterThan(12 * (days - 0.5));
    expect(asked[0].known).toBe(3);
    await cold.move({ at: new Date() });
    expect(await hotRows(database)).toBe(0);
    expect(await answers()).toEqual(asked);

    await new RejudgeRepository(database).mark();
    await work();
    const after = await judged();
    for (const [id, windows] of before) {
      const again = after.get(id)!;
      expect(again.map(({ judgement }) => judgement)).toEqual(windows.map(({ judgement }) => judgement));
      for (const [place, { judgedAt_s }] of windows.entries())
        expect(again[place].judgedAt_s).toBeGreaterThan(judgedAt_s);
    }
    expect(await answers()).toEqual(asked);
  }, 240_000);
});
