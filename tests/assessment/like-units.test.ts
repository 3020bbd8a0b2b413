import { randomUUID } from 'node:crypto';
import {
  learnFrom,
  learningOf,
  machineOf,
  plateausOfWindow,
  slicesOfWindows,
  writeLearned,
} from '@coldrounds/core';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { saturated } from '../../backend/core/src/diagnosis/causes/sample-channels.js';
import { runningCircuit } from '../../backend/core/src/diagnosis/unit/sample-running.js';
import {
  CircuitAssessor,
  defaultCircuitOptions,
  type CircuitAssessorParts,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { EvidenceService } from '../../backend/server/src/pages/evidence/evidence.service.js';
import { UnitService } from '../../backend/server/src/pages/unit/unit.service.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { NormalRepository } from '../../backend/server/src/storage/repositories/results/normal.repository.js';
import { assessorParts, everythingDue } from '../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { circuitEntry, moduleEntry } from '../support/store/fleet.js';
import { storeSeries } from '../support/store/store-series.js';

const units = 8;
const hours = 24;
const until_s = Math.floor(Date.now() / 7_200_000) * 7200;

/** A running circuit that condenses higher by so much, its liquid cooled by so much more. */
const running = (count: number, condensing_K: number, subcooling_K: number) =>
  runningCircuit(count, (own, i) => {
    const condensing = own.liquidTemperature_K[i]! + 5;
    own.dischargePressure_Pa[i] = saturated(condensing + condensing_K);
    own.dischargeTemperature_K[i]! += condensing_K;
    own.liquidTemperature_K[i]! += condensing_K - subcooling_K;
  });

/** What the k-th of the units learned in two and a half days. */
function learnedBy(k: number) {
  const machine = machineOf({ refrigerant: 'R134a', condenser: 'water' });
  const series = running(60, 0.1 * (k - units / 2), 0.1 * ((k % 3) - 1));
  const windows = slicesOfWindows(series).map(({ start_s, slice }) =>
    plateausOfWindow(slice, 'R134a', start_s),
  );
  return learnFrom(machine, learningOf(windows, []))!;
}

describe('a new unit among its like, in the server', () => {
  let server: DatabaseServer;
  let database: Database;
  let parts: CircuitAssessorParts;
  let services: ReturnType<typeof createServices>;

  const of = <Service>(service: new (...parameters: never[]) => Service) =>
    (services.providers as { provide: unknown; useValue: unknown }[]).find(
      ({ provide }) => provide === service,
    )!.useValue as Service;
  const detail = () => of(UnitService).detail({ site: 'harbour', unit: 'chiller-1' });
  const work = async () => {
    for (;;) {
      const holder = randomUUID();
      const taken = await parts.work.take(holder, everythingDue, 20);
      if (taken.length === 0) break;
      await new CircuitAssessor(parts, { ...defaultCircuitOptions, policy: everythingDue }).run(
        holder,
        taken,
      );
    }
    await services.attention.catchUp();
  };

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await database.query(
      `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
       values ('harbour', 'Harbour House', 100, 40, -8, 'UTC', 'mild')`,
    );
    await database.query(
      `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
       select 1, 'chiller-' || k, 'Chiller ' || k, 'R134a', 400000, 'water', '2023-04-01', '1.0' from generate_series(1, $1) k`,
      [units + 1],
    );
    await database.query(
      'insert into circuit (unit_id, number, entry) select id, 1, $1 from unit order by id',
      [circuitEntry(1)],
    );
    await database.query('insert into module (unit_id, number, entry) values (1, 1, $1)', [moduleEntry]);
    for (let k = 1; k <= units; k++) {
      const learned = learnedBy(k);
      await database.query(
        `insert into circuit_normal (circuit_id, registered, generation, complete, seen, basis, learned_from, learned_until, learned)
         values ($1, '{}', 1, true, $2, 1, to_timestamp($3), to_timestamp($4), $5)`,
        [k + 1, learned.normal.plateaus, learned.normal.from_s, learned.normal.to_s, writeLearned(learned)],
      );
    }
    const series = running(hours, 2, 3.5);
    const shift_s = until_s - hours * 3600 - series.time_s[0]!;
    series.time_s.forEach((time_s, i) => (series.time_s[i] = time_s + shift_s));
    await storeSeries(database, { circuitId: 1, unitId: 1 }, 'R134a', series);
    parts = assessorParts(database);
    await parts.work.enrol();
    services = createServices(
      readConfig({ DATABASE_URL: url, ROLES: 'api' }),
      database,
      pino({ level: 'silent' }),
      { ready: true, engine: null },
    );
    await work();
  }, 600_000);
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  it('is compared with them until its own normal is learned, and the page says with how many', async () => {
    const { circuits } = await detail();
    const { normal } = circuits[0];
    expect(normal).toMatchObject({ learned: false, likeUnits: units, complete: false });
    expect(normal!.note.text).toContain('is compared with {units} like units');
    expect(normal!.note.quantities).toMatchObject({ units: { value: units }, needed: { value: 24 } });
  });

  it('departs from them where it never ran well, less than certainly, with the cause above it and the band drawn', async () => {
    const { findings, diagnoses } = await detail();
    const departs = findings.find(({ condition }) => condition === 'departs-from-normal')!;
    expect(departs.certainty).not.toBe('certain');
    expect(diagnoses.some(({ symptoms }) => symptoms.includes(departs.id))).toBe(true);
    const { data } = await of(EvidenceService).of(departs.id);
    if (data.kind !== 'departure') throw new Error(`The evidence is ${data.kind}.`);
    expect(data.likeUnits).toBe(units);
    expect(data.curves[0].now.x.length).toBeGreaterThan(0);
    expect(data.curves[0].then.x).toEqual([]);
  });

  it('is not compared with units that something is wrong with', async () => {
    const normals = new NormalRepository(database);
    const ids = Array.from({ length: units + 1 }, (_, k) => k + 1);
    const quiet = async () => [...(await normals.quiet(ids, ['departs-from-normal']))].sort((a, b) => a - b);
    // Circuit 1 has no normal of its own.
    expect(await quiet()).toEqual(ids.slice(1));
    const open = (unitId: number, condition: string, certainty: string) =>
      database.query(
        `insert into finding (unit_id, source, subject_key, condition, urgency, certainty, waiting, document)
         values ($1, $2, 'circuit/1', $3, 'watch', $4, 0, '{}')`,
        [unitId, `normal/${unitId}`, condition, certainty],
      );
    await open(2, 'departs-from-normal', 'certain');
    await open(3, 'departs-from-normal', 'possible');
    await open(4, 'valve-wear', 'certain');
    const diagnosed = (unitId: number, subject: string, urgency: string) =>
      database.query(
        `insert into diagnosis (unit_id, subject_key, cause, urgency, certainty, weight, waiting, document)
         values ($1, $2, 'gas-in-circuit', $3, 'likely', 0.8, 0, '{}')`,
        [unitId, subject, urgency],
      );
    await diagnosed(5, 'circuit/1', 'this-week');
    await diagnosed(6, 'circuit/1', 'watch');
    await diagnosed(7, 'module/1', 'today');
    expect(await quiet()).toEqual([3, 4, 6, 7, 8, 9]);
  });
});
