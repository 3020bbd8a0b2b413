import { randomUUID } from 'node:crypto';
import { simulateCircuit } from '@coldrounds/simulator';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
  type CircuitAssessorParts,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { EvidenceService } from '../../backend/server/src/pages/evidence/evidence.service.js';
import { RoundService } from '../../backend/server/src/pages/round/round.service.js';
import { UnitService } from '../../backend/server/src/pages/unit/unit.service.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { assessorParts, everythingDue } from '../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { moduleEntry } from '../support/store/fleet.js';
import { movedTo, simulatedFrom_s } from '../support/store/recent-days.js';
import { storeSeries } from '../support/store/store-series.js';

const days = 4;
const start_s = Math.floor(Date.now() / 86_400_000) * 86_400 - (days + 1) * 86_400;
/** Lost steps for the last day and a half: the valve opens less than it says, and the circuit departs from its normal. */
const { unit, ...simulated } = simulateCircuit({
  seed: 16,
  circuits: 1,
  faults: [{ kind: 'lost-steps', offset_pct: 8, sinceDaysAgo: 1.5 }],
  days,
  start_s: simulatedFrom_s,
});
const series = movedTo(start_s, simulated.series);

describe('the diagnosis of a unit in the server', () => {
  let server: DatabaseServer;
  let database: Database;
  let parts: CircuitAssessorParts;
  let services: ReturnType<typeof createServices>;

  const of = <Service>(service: new (...parameters: never[]) => Service) =>
    (services.providers as { provide: unknown; useValue: unknown }[]).find(
      ({ provide }) => provide === service,
    )!.useValue as Service;
  const work = async () => {
    for (;;) {
      const holder = randomUUID();
      const taken = await parts.work.take(holder, everythingDue, 4);
      if (taken.length === 0) break;
      await new CircuitAssessor(parts, { ...defaultCircuitOptions, policy: everythingDue }).run(
        holder,
        taken,
      );
    }
    await services.attention.catchUp();
  };
  const detail = () => of(UnitService).detail({ site: 'harbour', unit: 'chiller-1' });

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
       values (1, 'chiller-1', 'Chiller 1', $1, $2, $3, '2023-04-01', '1.0')`,
      [unit.refrigerant, unit.nominalCapacity_W, unit.condenser],
    );
    await database.query('insert into circuit (unit_id, number, entry) values (1, 1, $1)', [
      unit.circuits[0],
    ]);
    await database.query('insert into module (unit_id, number, entry) values (1, 1, $1)', [moduleEntry]);
    await storeSeries(database, { circuitId: 1, unitId: 1 }, unit.refrigerant, series);
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

  it('is a cause, with the departure from the learned normal beneath it and what else it could be', async () => {
    const { diagnoses, findings, circuits } = await detail();
    const departs = findings.find(({ condition }) => condition === 'departs-from-normal')!;
    const diagnosis = diagnoses.find(({ symptoms }) => symptoms.includes(departs.id))!;
    expect(diagnosis.cause).not.toBe('something-else');
    expect(diagnosis.name).not.toBe('');
    expect(diagnosis.since_s).toBeGreaterThan(start_s + 2 * 86_400);
    expect(diagnosis.endedAt).toBeNull();
    expect(diagnosis.weight).toBeGreaterThan(0.25);
    // Every finding but silence is beneath some diagnosis.
    const beneath = new Set(diagnoses.flatMap(({ symptoms }) => symptoms));
    expect(findings.filter(({ id }) => !beneath.has(id))).toEqual([]);
    expect(circuits[0].normal).toMatchObject({ learned: true, complete: false, startedAnew: null });
  });

  it('is drawn as the quantities that depart over their predictor, with the band of normal', async () => {
    const { findings } = await detail();
    const departs = findings.find(({ condition }) => condition === 'departs-from-normal')!;
    const { data } = await of(EvidenceService).of(departs.id);
    if (data.kind !== 'departure') throw new Error(`The evidence is ${data.kind}.`);
    const [curve] = data.curves;
    expect(Math.abs(curve.z)).toBeGreaterThan(1);
    expect(curve.then.x.length).toBeGreaterThanOrEqual(20);
    expect(curve.now.x.length).toBeGreaterThan(0);
    expect(Math.min(...curve.now.time_s)).toBeGreaterThan(Math.max(...curve.then.time_s));
    curve.band.high.forEach((high, k) => expect(high).toBeGreaterThan(curve.band.low[k]));
  });

  it('places its unit on the round, now and as it was known', async () => {
    const rounds = of(RoundService);
    const [row] = (await rounds.round({ at_s: null, limit: 5 })).units;
    const { diagnoses } = await detail();
    expect(row.diagnoses.map(({ id }) => id)).toEqual(diagnoses.map(({ id }) => id));
    expect(row.urgency).toBe(diagnoses[0].urgency);
    const { rows } = await database.query<{ cause: string; problems: number }>(
      'select cause, -findings as problems from unit_attention',
    );
    expect(rows).toEqual([{ cause: diagnoses[0].cause, problems: diagnoses.length }]);
    const past = await rounds.round({ at_s: Date.now() / 1000, limit: 5 });
    expect(past.units[0].diagnoses.map(({ cause }) => cause)).toEqual(
      row.diagnoses.map(({ cause }) => cause),
    );
  });

  it('is learned anew after a change of firmware, and what it departed from is no measure any more', async () => {
    await database.query(`update unit set controller_firmware = '2.0'`);
    parts.fleet.changed();
    await database.query(`update circuit_state set owed_since = now(), assess_from = now()`);
    await work();
    const { circuits, findings, diagnoses } = await detail();
    expect(circuits[0].normal).toMatchObject({
      learned: false,
      startedAnew: { reason: 'firmware' },
      note: { text: expect.stringContaining('not compared with its own past yet') as string },
    });
    expect(findings.map(({ condition }) => condition)).not.toContain('departs-from-normal');
    const beneath = diagnoses.flatMap(({ symptoms }) => symptoms);
    expect(beneath.every((id) => findings.some((finding) => finding.id === id))).toBe(true);
    const { rows } = await database.query<{ reason: string }>('select reason from normal_start');
    expect(rows).toEqual([{ reason: 'firmware' }]);
  });
});
