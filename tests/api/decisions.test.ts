import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeLearned, type CircuitEnergy, type LearnedCircuit } from '@coldrounds/core';
import type { components } from '../../frontend/src/api/schema.js';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { PlanClock } from '../../backend/server/src/decisions/plan-clock.js';
import { DecisionRepository } from '../../backend/server/src/storage/decisions/decision.repository.js';
import { EnergyRepository } from '../../backend/server/src/storage/repositories/energy.repository.js';
import { FleetRepository } from '../../backend/server/src/storage/repositories/fleet.repository.js';
import { NormalRepository } from '../../backend/server/src/storage/repositories/results/normal.repository.js';
import { startApi } from '../support/api-server.js';
import { until } from '../support/publish.js';
import { runningPack } from '../support/running-pack.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { addFinding, addPerson, type TestPerson } from '../support/store/people.js';
import { storeMessages } from '../support/store/stored.js';

type Schemas = components['schemas'];
type Decisions = Schemas['FindingDecisions'];
type Standing = Schemas['Standing'];

const day = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10);

describe('decisions on a finding', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;
  let manager: TestPerson;
  let technician: TestPerson;
  let made = 0;

  const newFinding = (given: Parameters<typeof addFinding>[2] = {}) =>
    addFinding(database, 1, { condition: `hunting-${++made}`, ...given });

  async function decide(who: TestPerson, finding: string, body: object) {
    const response = await fetch(`${base}/api/findings/${finding}/decisions`, {
      method: 'POST',
      headers: { ...(await who.headers()), 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
    return { status: response.status, body: (await response.json()) as Decisions & { detail?: string } };
  }
  const read = async <Answer>(path: string): Promise<Answer> => {
    const response = await fetch(base + path, { headers: await manager.headers() });
    expect(response.status, path).toBe(200);
    return (await response.json()) as Answer;
  };
  const standing = async (finding: string) =>
    (await read<{ standings: Standing[] }>(`/api/standings?findings=${finding}`)).standings[0];

  const clock = () =>
    new PlanClock({
      database,
      decisions: new DecisionRepository(database),
      normals: new NormalRepository(database),
      energies: new EnergyRepository(database),
      registry: new FleetRepository(database),
      returned: () => {},
      failed: () => {},
    });

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database, 3);
    manager = await addPerson(database, 'manager');
    technician = await addPerson(database, 'technician');
    ({ running, base } = await startApi(url));
  });
  afterAll(async () => {
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('are made by who may make them', async () => {
    const finding = await newFinding();
    const handOver = { kind: 'hand-over', version: 0, assignee: technician.id, due: day(3) };
    expect((await decide(technician, finding, handOver)).status).toBe(403);
    expect(
      (await decide(technician, finding, { kind: 'note', text: 'Access by the roof only.' })).status,
    ).toBe(201);
    const done = await decide(manager, finding, handOver);
    expect(done.status).toBe(201);
    expect(done.body).toMatchObject({
      version: 1,
      standing: { kind: 'handed-over', assignee: { id: technician.id }, due: day(3), overdue: false },
    });
    expect(done.body.decisions.map(({ kind }) => kind)).toEqual(['note', 'hand-over']);
  });

  it('go to people who can do the work, at their sites, on a day to come', async () => {
    const finding = await newFinding();
    const reader = await addPerson(database, 'reader');
    const hand = async (assignee: number, due: string) =>
      (await decide(manager, finding, { kind: 'hand-over', version: 0, assignee, due })).status;
    expect(await hand(reader.id, day(1))).toBe(400);
    expect(await hand(9_999, day(1))).toBe(400);
    expect(await hand(technician.id, day(-3))).toBe(400);
    expect(await hand(technician.id, day(1))).toBe(201);
    expect((await decide(manager, '999999', { kind: 'note', text: 'x' })).status).toBe(404);
  });

  it('do not overwrite each other: who has not seen the newest is told', async () => {
    const finding = await newFinding();
    const putOff = (version: number, reason: string) =>
      decide(manager, finding, { kind: 'put-off', version, until: day(10), reason });
    expect((await putOff(0, 'spare part ordered')).status).toBe(201);
    const late = await putOff(0, 'something else');
    expect(late.status).toBe(409);
    expect(late.body.detail).toMatch(/has decided on this finding meanwhile/);
    expect((await standing(finding)).reason).toBe('spare part ordered');
    expect((await putOff(1, 'part is late')).status).toBe(201);
  });

  it('count once when they are sent twice', async () => {
    const finding = await newFinding();
    const body = {
      kind: 'accept',
      version: 0,
      review: day(90),
      reason: 'known, harmless',
      key: randomUUID(),
    };
    const [first, again] = [await decide(manager, finding, body), await decide(manager, finding, body)];
    expect([first.status, again.status]).toEqual([201, 201]);
    expect(again.body.decisions).toEqual(first.body.decisions);
    const other = await newFinding();
    expect((await decide(manager, other, body)).status).toBe(400);
  });

  it('that put off come back on their day, and at once when it gets more urgent', async () => {
    const finding = await newFinding({ urgency: 'next-visit' });
    await decide(manager, finding, { kind: 'put-off', version: 0, until: day(30), reason: 'next service' });
    expect(await standing(finding)).toMatchObject({ kind: 'put-off', back: null, deferred: true });
    await database.query(`update finding set urgency = 'today' where id = $1`, [finding]);
    expect(await standing(finding)).toMatchObject({ back: 'urgency', deferred: false });
    await database.query(`update finding set urgency = 'next-visit' where id = $1`, [finding]);
    await database.query(`update decision_state set due_at = now() - interval '1 s' where finding_id = $1`, [
      finding,
    ]);
    expect(await standing(finding)).toMatchObject({ back: 'date', deferred: false });
  });

  it('that close say what the visit found; values read by hand prove or refute a sensor', async () => {
    const at_s = Math.floor(Date.now() / 1000) - 3600;
    await storeMessages(database, [
      {
        topic: 'coldrounds/1/harbour/chiller-1/circuits/1',
        payload: runningPack(at_s - 600, 120, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      },
    ]);
    const finding = await newFinding();
    const close = {
      kind: 'close',
      version: 0,
      seen: { kind: 'cause', cause: 'loop-tuned-too-hard' },
      done: 'Gain halved with the controller’s owner.',
      parts: ['none'],
      readings: [
        { circuit: 1, quantity: 'suction-temperature', value: 279.15, at_s },
        { circuit: 1, quantity: 'suction-temperature', value: 284.15, at_s },
        { circuit: 1, quantity: 'suction-pressure', value: 250_000, reference: 'gauge', at_s },
        { circuit: 1, quantity: 'suction-temperature', value: 279.15, at_s: at_s - 86_400 },
      ],
    };
    const done = await decide(technician, finding, close);
    expect(done.status).toBe(201);
    const closed = done.body.decisions[0].decided as Extract<Schemas['Decided'], { kind: 'close' }>;
    expect(closed.readings.map(({ verdict }) => verdict)).toEqual([
      'agrees',
      'differs',
      'agrees',
      'no-telemetry',
    ]);
    expect(done.body.standing).toMatchObject({ kind: 'closed', outcome: { kind: 'watching' } });
    expect(done.body.said).toBeNull();
    const wrong = {
      ...close,
      version: 1,
      readings: [{ circuit: 7, quantity: 'suction-pressure', value: 1, at_s }],
    };
    expect((await decide(technician, finding, wrong)).status).toBe(400);
  });

  it('are watched after the visit: gone, unchanged, or back', async () => {
    const close = { kind: 'close', version: 0, seen: { kind: 'nothing' }, done: 'Looked at everything.' };
    const condition = `hunting-${++made}`;
    const [gone, unchanged] = [await newFinding({ condition }), await newFinding()];
    for (const finding of [gone, unchanged])
      expect((await decide(technician, finding, close)).status).toBe(201);
    await database.query('update finding set ended_at = now() where id = $1', [gone]);
    expect(await standing(gone)).toMatchObject({ outcome: { kind: 'gone' }, deferred: true });
    await database.query(
      `update finding set document = jsonb_set(document, '{lastSeen_s}', to_jsonb($2::float8)) where id = $1`,
      [unchanged, Date.now() / 1000 + 3 * 86_400],
    );
    expect(await standing(unchanged)).toMatchObject({ outcome: { kind: 'unchanged' }, back: 'unchanged' });
    const again = await newFinding({ condition });
    await database.query(`update finding set opened_at = now() + interval '5 days' where id = $1`, [again]);
    const back = (await standing(gone)).outcome as { kind: string; after_s: number };
    expect(back.kind).toBe('came-back');
    expect(Math.round(back.after_s / 86_400)).toBe(5);
    const { standings } = await read<{ standings: Standing[] }>('/api/units/harbour/chiller-1/decisions');
    expect(standings.map(({ finding }) => finding)).toEqual(expect.arrayContaining([gone, unchanged]));
  });

  it('take what can wait off the day’s round, and bring it back when it becomes more urgent or its day has come', async () => {
    const finding = await addFinding(database, 2, { condition: 'floodback-risk', urgency: 'this-week' });
    const shown = async () => {
      const { units } = await read<Schemas['Round']>('/api/rounds');
      return units.find(({ unit }) => unit.key === 'chiller-2')?.urgency ?? null;
    };
    const ranked = async () =>
      (await database.query<{ urgency: number }>('select urgency from unit_attention where unit_id = 2'))
        .rows[0]?.urgency;
    const becomes = async (urgency: string, place: number) => {
      await until(`the unit to be ranked under ${urgency}`, async () => (await ranked()) === place, 120_000);
      expect(await shown()).toBe(urgency);
    };
    await becomes('this-week', 1);
    await decide(manager, finding, { kind: 'put-off', version: 0, until: day(30), reason: 'next service' });
    await becomes('watch', 3);
    const raise = (urgency: string) =>
      database.query(
        `update finding set urgency = $2, document = jsonb_set(document, '{urgency}', to_jsonb($2::text)) where id = $1`,
        [finding, urgency],
      );
    await raise('today');
    await becomes('today', 0);
    await raise('this-week');
    await becomes('watch', 3);
    await database.query(`update decision_state set due_at = now() - interval '1 s' where finding_id = $1`, [
      finding,
    ]);
    await clock().tick();
    await becomes('this-week', 1);
  });

  it('are made on a diagnosis as well, and go on where its plan is', async () => {
    const finding = await addFinding(database, 3, { condition: 'hunting-by-diagnosis' });
    const known = async () =>
      (
        await database.query<{ id: string }>(
          `select id::text as id from diagnosis where ended_at is null and document->'symptoms' ? $1`,
          [finding],
        )
      ).rows[0]?.id;
    await until('the finding to be diagnosed', async () => (await known()) !== undefined, 120_000);
    const path = `${base}/api/diagnoses/${await known()}/decisions`;
    const send = async (body: object) =>
      fetch(path, {
        method: 'POST',
        headers: { ...(await manager.headers()), 'content-type': 'application/json' },
        body: JSON.stringify(body),
      });
    const lead = (await read<Decisions>(`/api/diagnoses/${await known()}/decisions`)).finding;
    const done = await send({ kind: 'put-off', version: 0, until: day(5), reason: 'next service' });
    expect(done.status).toBe(201);
    expect(((await done.json()) as Decisions).finding).toBe(lead);
    expect(await standing(lead)).toMatchObject({ kind: 'put-off', version: 1 });
    expect((await send({ kind: 'put-off', version: 0, until: day(5), reason: 'again' })).status).toBe(409);
    const none = await fetch(`${base}/api/diagnoses/999999/decisions`, { headers: await manager.headers() });
    expect(none.status).toBe(404);
    await database.query('update finding set ended_at = now() where id = $1', [finding]);
  });

  it('that hand over make a person’s plan by site, with what else is due there, and a calendar', async () => {
    const planned = await addPerson(database, 'technician');
    const finding = await addFinding(database, 3, { condition: 'floodback-risk', urgency: 'today' });
    await addFinding(database, 2, { condition: 'starved', urgency: 'this-week' });
    const due = day(4);
    const wish = { kind: 'hand-over', version: 0, assignee: planned.id, due, reason: 'Bring a gauge' };
    expect((await decide(manager, finding, wish)).status).toBe(201);
    const plan = async (query = '') =>
      await read<Schemas['DayPlan']>(`/api/day-plan?person=${planned.id}${query}`);
    await until(
      'the other unit to be due',
      async () => ((await plan()).sites[0]?.alsoDue ?? []).some(({ unit }) => unit.key === 'chiller-2'),
      120_000,
    );
    const { findings, overdue, sites } = await plan();
    expect({ findings, overdue, sites: sites.map(({ site }) => site.key) }).toEqual({
      ...{ findings: 1, overdue: 0, sites: ['harbour'] },
    });
    expect(sites[0].units).toMatchObject([
      { unit: { key: 'chiller-3' }, findings: [{ finding, due, reason: 'Bring a gauge', overdue: false }] },
    ]);
    expect((await plan(`&until=${day(1)}`)).sites).toEqual([]);

    const own = { headers: await planned.headers() };
    const make = async () =>
      (await (await fetch(`${base}/api/calendar-address`, { ...own, method: 'POST' })).json()) as {
        path: string;
      };
    const { path } = await make();
    const file = await fetch(base + path);
    expect(file.status).toBe(200);
    expect(file.headers.get('content-type')).toMatch(/^text\/calendar/);
    expect(await file.text()).toContain(`DTSTART;VALUE=DATE:${due.replaceAll('-', '')}`);
    const download = await fetch(`${base}/api/day-plan/calendar.ics`, own);
    expect(await download.text()).toContain('SUMMARY:Visit Harbour House: 1 finding');
    const second = await make();
    expect((await fetch(base + path)).status).toBe(404);
    expect((await fetch(base + second.path)).status).toBe(200);
    expect((await fetch(`${base}/api/calendar-address`, { ...own, method: 'DELETE' })).status).toBe(204);
    expect((await fetch(base + second.path)).status).toBe(404);

    const elsewhere = await addPerson(database, 'manager', []);
    const seen = await fetch(`${base}/api/day-plan?person=${planned.id}`, {
      headers: await elsewhere.headers(),
    });
    expect(((await seen.json()) as Schemas['DayPlan']).sites).toEqual([]);
    await database.query('update finding set ended_at = now() where unit_id in (2, 3) and ended_at is null');
  });

  it('that close save energy, measured against the normal of before, and are told to the site’s owner', async () => {
    await database.query(`update site set currency = 'EUR', energy_price_per_kwh = 0.25`);
    const finding = await addFinding(database, 1, { condition: 'departs-from-normal' });
    const kWh = 3.6e6;
    const energies = new EnergyRepository(database);
    const energy: CircuitEnergy = {
      ...{ conditions: ['departs-from-normal'], from_s: 0, to_s: 1, plateaus: 9, running_h_week: 100 },
      ...{
        evaporatingLost_K: null,
        evaporatingFrom: null,
        powerFrom: 'measured',
        assumptions: [],
        missing: null,
      },
      condensingGained_K: { value: 2, uncertainty: 0.2 },
      share: { value: 0.07, uncertainty: 0.01 },
      shareAgainstNormal: { value: 0.07, uncertainty: 0.01 },
      power_W: { value: 10_000, uncertainty: 300 },
      energy_J_week: { value: 70 * kWh, uncertainty: 10 * kWh },
    };
    const keep = (kept: CircuitEnergy | null) =>
      database.transaction((client) => energies.keep(client, [{ circuitId: 1, energy: kept }]));
    await keep(energy);
    const unitEnergy = async () =>
      (await read<Schemas['UnitEnergyList']>('/api/energy/units?units=harbour/chiller-1')).units[0];
    const told = await unitEnergy();
    // By hand: 70 kWh at 0.25 EUR.
    expect(told.givenAway_J_week).toEqual(energy.energy_J_week);
    expect(told.givenAwayCost_week).toEqual({ currency: 'EUR', value: 17.5, uncertainty: 2.5 });
    expect(told.circuits[0]).toMatchObject({
      ...{ circuit: 1, condensingGained_K: { value: 2 } },
      cost_week: { currency: 'EUR', value: 17.5, uncertainty: 2.5 },
    });
    const report = () => read<Schemas['SiteReport']>('/api/sites/harbour/report');
    expect((await report()).energy.givenAwayCost_week?.value).toBeCloseTo(17.5, 9);

    // A visit puts it right: what the circuit did before is kept before its normal is learned anew.
    await database.query(
      `insert into circuit_normal (circuit_id, registered, learned) values (1, '{}', $1)
       on conflict (circuit_id) do update set learned = excluded.learned`,
      [writeLearned({ tolerance: 0, normal: {}, stops: [] } as unknown as LearnedCircuit)],
    );
    const close = {
      ...{ kind: 'close', version: 0, seen: { kind: 'cause', cause: 'condenser-fouled' } },
      done: 'Tubes brushed.',
    };
    expect((await decide(technician, finding, close)).status).toBe(201);
    await database.query(`update finding set ended_at = now() + interval '1 s' where id = $1`, [finding]);
    expect(await unitEnergy()).toBeUndefined();
    await clock().tick();
    const [visit] = await energies.visits([1]);
    expect(visit).toMatchObject({ findingId: finding, circuitId: 1, share: { value: 0.07 } });
    const until_s = Math.floor(Date.now() / 1000);
    await database.transaction((client) =>
      energies.keepSavings(client, [
        {
          ...{ findingId: finding, circuitId: 1, until_s, running_h: 20 },
          energy_J: { value: 15 * kWh, uncertainty: 3 * kWh },
        },
      ]),
    );
    expect((await energies.visits([1]))[0].countedUntil_s).toBe(until_s);
    const saved = await report();
    expect(saved.energy.saved_J).toEqual({ value: 15 * kWh, uncertainty: 3 * kWh });
    expect(saved.energy.savedCost?.value).toBeCloseTo(3.75, 9);
    expect(saved.visits.find(({ done }) => done === 'Tubes brushed.')).toMatchObject({
      ...{ unit: { key: 'chiller-1' }, outcome: { kind: 'gone' } },
    });
    expect((await unitEnergy()).saved[0]).toMatchObject({ finding, cost: { currency: 'EUR' } });
    const backwards = await fetch(`${base}/api/sites/harbour/report?from=${day(1)}&to=${day(0)}`, {
      headers: await manager.headers(),
    });
    expect(backwards.status).toBe(400);
    await keep(null);
  });

  it('that close are counted: how often what was said was right', async () => {
    const counted = async () => await read<Schemas['Accuracy']>('/api/accuracy');
    const before = await counted();
    const visit = async (seen: object) => {
      const finding = await addFinding(database, 3, { condition: 'sensor-bias' });
      const { status, body } = await decide(technician, finding, {
        ...{ kind: 'close', version: 0, seen, done: 'Compared with an instrument.' },
      });
      expect(status).toBe(201);
      expect(body.said?.cause).toBe('sensor-wrong');
      await database.query('update finding set ended_at = now() where id = $1', [finding]);
    };
    await visit({ kind: 'cause', cause: 'sensor-wrong' });
    await visit({ kind: 'cause', cause: 'registry-wrong' });
    await visit({ kind: 'nothing' });
    const { all, causes } = await counted();
    expect(all.visits - before.all.visits).toBe(3);
    expect(causes.filter(({ cause }) => cause === 'sensor-wrong').map(({ confirmed }) => confirmed)).toEqual(
      expect.arrayContaining([1]),
    );
    expect(all.confirmed - before.all.confirmed).toBe(1);
    expect(all.nothingFound - before.all.nothingFound).toBe(1);
    const elsewhere = await addPerson(database, 'reader', []);
    const own = await fetch(`${base}/api/accuracy`, { headers: await elsewhere.headers() });
    expect(((await own.json()) as Schemas['Accuracy']).all.visits).toBe(0);
  });

  it('start a new learned normal once the visit helped, and only then', async () => {
    const finding = await newFinding();
    const close = {
      kind: 'close',
      version: 0,
      seen: { kind: 'cause', cause: 'valve-friction' },
      done: 'New valve.',
    };
    expect((await decide(technician, finding, close)).status).toBe(201);
    const decisions = new DecisionRepository(database);
    const take = () => database.transaction((client) => decisions.takeHelped(client));
    await take();
    await database.query(`update finding set ended_at = now() + interval '1 s' where id = $1`, [finding]);
    expect(await take()).toMatchObject([{ unitId: 1, subject: { kind: 'circuit', circuit: 1 } }]);
    expect(await take()).toEqual([]);
  });

  it('are none of them lost when a thousand come at once', async () => {
    const findings = await Promise.all(Array.from({ length: 100 }, () => newFinding()));
    const before = await database.query<{ n: number }>(
      `select count(*)::int as n from audit_entry where action like 'decided:%'`,
    );
    const [planning, noting] = [await manager.headers(), await technician.headers()];
    const send = async (who: Record<string, string>, finding: string, body: object): Promise<number> => {
      const response = await fetch(`${base}/api/findings/${finding}/decisions`, {
        method: 'POST',
        headers: { ...who, 'content-type': 'application/json' },
        body: JSON.stringify(body),
      });
      await response.arrayBuffer();
      return response.status;
    };
    /**
     * As a person's phone does: told that somebody was quicker it reads again and decides anew; where the server cannot
     * answer now it sends the same again.
     */
    const insist = async (who: Record<string, string>, finding: string, body: object): Promise<void> => {
      const key = randomUUID();
      for (let attempt = 0; attempt < 500; attempt++) {
        // A connection that broke is a bad connection: the same is sent again.
        const status = await fetch(`${base}/api/findings/${finding}/decisions`, { headers: who })
          .then(async (seen) => ({ status: seen.status, read: (await seen.json()) as Decisions }))
          .then((seen) =>
            seen.status === 200
              ? send(who, finding, { ...body, version: seen.read.version, key })
              : seen.status,
          )
          .catch(() => 503);
        if (status === 201) return;
        expect([409, 503]).toContain(status);
      }
      throw new Error('a decision never got through');
    };
    await Promise.all(
      findings.flatMap((finding) =>
        Array.from({ length: 10 }, (_, n) =>
          n < 5
            ? insist(planning, finding, { kind: 'put-off', until: day(5), reason: `reason ${n}` })
            : insist(noting, finding, { kind: 'note', text: `note ${n}` }),
        ),
      ),
    );
    const { rows } = await database.query<{ notes: number; plans: number; versions: number }>(
      `select count(*) filter (where kind = 'note')::int as notes, count(*) filter (where kind = 'put-off')::int as plans,
              count(distinct version) filter (where kind = 'put-off')::int as versions
         from decision where finding_id = any($1::bigint[]) group by finding_id`,
      [findings],
    );
    expect(rows).toHaveLength(100);
    expect(rows.every(({ notes, plans, versions }) => notes === 5 && plans === 5 && versions === 5)).toBe(
      true,
    );
    const after = await database.query<{ n: number }>(
      `select count(*)::int as n from audit_entry where action like 'decided:%'`,
    );
    expect(after.rows[0].n - before.rows[0].n).toBe(1000);
  }, 900_000);
});
