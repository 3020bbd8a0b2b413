import { saturationTemperature } from '@coldrounds/core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { Reconverter } from '../../backend/server/src/assessment/reconverter.js';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import { RejudgeRepository } from '../../backend/server/src/storage/assessment/rejudge.repository.js';
import { emptyBatch, IngestRepository, type Database } from '../../backend/server/src/storage/index.js';
import { FactsRepository } from '../../backend/server/src/storage/registry/facts.repository.js';
import { pino } from 'pino';
import { createServices } from '../../backend/server/src/bin/services.js';
import { readConfig } from '../../backend/server/src/config/index.js';
import { circuitEntry, moduleEntry } from '../support/store/fleet.js';
import { startApi } from '../support/api-server.js';
import { assessorParts, everythingDue } from '../support/assessor.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { addFinding, addPerson, type TestPerson } from '../support/store/people.js';

const site = {
  key: 'harbour',
  name: 'Harbour House',
  altitude_m: 0,
  latitude_deg: null,
  longitude_deg: null,
  timeZone: 'Europe/Lisbon',
  climate: null,
  region: null,
  currency: null,
  energyPrice_per_kWh: null,
};
const circuit = (number: number) => ({
  ...{ number, suctionReference: 'absolute', dischargeReference: 'absolute', motors: 1 },
  ...{ suctionMinimum_Pa: null, suctionMaximum_Pa: null, suctionTolerance_Pa: null },
  ...{ dischargeMinimum_Pa: null, dischargeMaximum_Pa: null, dischargeTolerance_Pa: null },
  ...{ suctionTemperatureTolerance_K: null, valveSize: null, kv_m3_h: null, fullStroke_steps: null },
  ...{ rate_steps_s: null, refrigerantCharge_kg: null, floodbackLimit_K: null, safetyMargin_K: null },
});
const unit = {
  ...{ key: 'chiller-1', name: 'Chiller 1', refrigerant: 'R134a', nominalCapacity_W: 200_000 },
  ...{ condenser: 'air', evaporator: 'dry-expansion', reversible: false, reporting: null },
  ...{ commissionedOn: null, controllerFirmware: null, circuits: [circuit(1)], modules: [] as object[] },
};
interface Registered {
  draft: typeof unit;
  version: number;
  retiredAt: string | null;
  missing: { fact: string; cost: string }[];
  doubts: { field: string; refused: boolean }[];
  changes: {
    who: string;
    kind: string;
    reason: string;
    holdsFrom: string | null;
    differences: { field: string; before: string | null; after: string | null }[];
  }[];
}

describe('the registry over HTTP', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;
  let engineer: TestPerson;
  let limited: TestPerson;

  async function call<Answer = Registered>(
    method: string,
    path: string,
    body?: object,
    by: TestPerson = engineer,
  ): Promise<{ status: number; answer: Answer & { detail?: string; errors?: { name: string }[] } }> {
    const response = await fetch(`${base}/api/registry/sites${path}`, {
      method,
      headers: { ...(await by.headers()), 'content-type': 'application/json' },
      body: body === undefined ? undefined : JSON.stringify(body),
    });
    return { status: response.status, answer: (await response.json()) as never };
  }
  const unitPath = '/harbour/units/chiller-1';
  const read = async () => (await call('GET', unitPath)).answer;
  const change = async (draft: object, reason: string, holdsFrom: string | null) =>
    call('PUT', unitPath, { unit: draft, reason, holdsFrom, version: (await read()).version });

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    engineer = await addPerson(database, 'engineer');
    ({ running, base } = await startApi(url));
  });
  afterAll(async () => {
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('begins with nothing, and takes a site and a unit of which little is known', async () => {
    expect((await call<{ sites: [] }>('GET', '')).answer.sites).toEqual([]);
    const added = await call<{ draft: typeof site }>('POST', '', { site, reason: 'First.' });
    expect(added.status).toBe(201);
    expect(added.answer.draft).toEqual(site);
    const made = await call('POST', '/harbour/units', { unit, reason: 'First.' });
    expect(made.status).toBe(201);
    expect(made.answer.draft).toEqual(unit);
    expect(made.answer.missing.map(({ fact }) => fact)).toContain('Kv of the valve');
    expect(made.answer.changes[0]).toMatchObject({ kind: 'add', reason: 'First.', holdsFrom: null });
    const page = await fetch(`${base}/api/units/harbour/chiller-1`, { headers: await engineer.headers() });
    const shown = (await page.json()) as { unit: { commissionedOn: null }; missing: { fact: string }[] };
    expect(shown.unit.commissionedOn).toBeNull();
    expect(shown.missing.length).toBe(made.answer.missing.length);
    limited = await addPerson(database, 'engineer', ['harbour']);
  });

  it('checks a draft without writing it, and refuses what cannot be', async () => {
    const doubtful = { ...unit, circuits: [{ ...circuit(1), kv_m3_h: 0.4, suctionMinimum_Pa: -1e5 }] };
    const { answer } = await call('POST', '/harbour/check', { unit: doubtful, of: 'chiller-1' });
    expect(answer.doubts.map(({ field }) => field).sort()).toEqual([
      'circuits.0.kv_m3_h',
      'circuits.0.suctionMinimum_Pa',
    ]);
    const refused = await change(doubtful, 'Wrong.', null);
    expect(refused.status).toBe(400);
    expect(refused.answer.errors?.[0].name).toBe('circuits.0.suctionMinimum_Pa');
    expect((await call('POST', '/harbour/units', { unit, reason: 'Again.' })).status).toBe(400);
    expect((await call('POST', '', { site, reason: 'Again.' })).status).toBe(400);
    expect((await change(unit, 'Tomorrow.', new Date(Date.now() + 86_400_000).toISOString())).status).toBe(
      400,
    );
    expect((await read()).draft).toEqual(unit);
  });

  it('notes who changed what, why and since when, and refuses a change of what somebody changed meanwhile', async () => {
    const { version } = await read();
    const since = '2026-01-05T00:00:00.000Z';
    const { answer } = await change(
      { ...unit, nominalCapacity_W: 210_000 },
      'Read off the nameplate.',
      since,
    );
    expect(answer.changes[0]).toMatchObject({
      ...{ kind: 'edit', reason: 'Read off the nameplate.', holdsFrom: since },
      differences: [{ field: 'nominalCapacity_W', before: '200000', after: '210000' }],
    });
    expect(answer.changes[0].who).toContain('engineer');
    const late = await call('PUT', unitPath, { unit, reason: 'Late.', holdsFrom: null, version });
    expect(late.status).toBe(409);
    await expect(database.query('delete from registry_change')).rejects.toThrow(/cannot be changed/);
  });

  const start_s = (Math.floor(Date.now() / 7_200_000) - 6) * 7200;
  const newest = async (column: string) => {
    const { rows } = await database.query<{ time_s: number; value: number }>(
      `select extract(epoch from time)::float8 as time_s, ${column} as value from reading where circuit_id = 1 order by time`,
    );
    return rows;
  };

  it('converts stored readings anew from the moment of a correction on, in parts, and has their windows judged again', async () => {
    // Two windows of running at 3.5 bar; the transducer turns out to read gauge since the second.
    const length = 1440;
    const columns = Array.from({ length: 12 }, () => new Float64Array(length).fill(NaN));
    columns[0].fill(3.5e5);
    columns[1].fill(288.15);
    columns[10].fill(saturationTemperature('R134a', 3.5e5, 'dew'));
    await new IngestRepository(database.pool).write({
      ...emptyBatch(),
      readings: [
        {
          ownerId: 1,
          length,
          time_ms: Float64Array.from({ length }, (_, i) => (start_s + 10 * i) * 1000),
          columns,
        },
      ],
    });
    const parts = assessorParts(database);
    await parts.work.enrol();
    const options = { ...defaultCircuitOptions, policy: everythingDue };
    const judge = async () => {
      const taken = await parts.work.take('test', everythingDue, 10);
      await new CircuitAssessor(parts, options).run('test', taken);
      const [judged] = (await parts.windows.since([{ id: 1, from_s: 0 }])).values();
      return judged.map(({ judgement }) => judgement.superheat?.mean_K ?? null);
    };
    const [first, second] = await judge();
    expect(first).toBeCloseTo(288.15 - saturationTemperature('R134a', 3.5e5, 'dew'), 1);
    expect(second).toBeCloseTo(first!, 6);

    const gauge = {
      ...unit,
      nominalCapacity_W: 210_000,
      circuits: [{ ...circuit(1), suctionReference: 'gauge' }],
    };
    const since = new Date((start_s + 7200) * 1000).toISOString();
    expect((await change(gauge, 'It reads gauge since it was replaced.', since)).status).toBe(200);
    expect((await call<{ convertingCircuits: number }>('GET', '/harbour')).answer.convertingCircuits).toBe(1);
    // While it waits, the circuit is not judged by figures that do not belong together.
    expect(await parts.work.take('test', everythingDue, 10)).toEqual([]);

    let told = 0;
    const reconverter = new Reconverter(
      {
        facts: new FactsRepository(database),
        rejudge: new RejudgeRepository(database),
        changed: async () => void told++,
      },
      500,
    );
    while (await reconverter.step());
    expect(told).toBeGreaterThan(1);
    const absolute = 3.5e5 + 101_325;
    const pressures = await newest('suction_pressure_pa');
    expect(
      pressures.filter(({ time_s }) => time_s < start_s + 7200).every(({ value }) => value === 3.5e5),
    ).toBe(true);
    for (const { value } of pressures.filter(({ time_s }) => time_s >= start_s + 7200))
      expect(value).toBeCloseTo(absolute, -1);
    const superheats = await newest('superheat_k');
    const corrected = 288.15 - saturationTemperature('R134a', absolute, 'dew');
    expect(superheats.at(-1)!.value).toBeCloseTo(corrected, 2);
    const again = await judge();
    expect(again[0]).toBeCloseTo(first!, 6);
    expect(again[1]).toBeCloseTo(corrected, 1);

    // It always read gauge: the first window is corrected too.
    expect((await change(gauge, 'Nothing else changed.', null)).status).toBe(200);
    while (await reconverter.step());
    expect((await newest('suction_pressure_pa'))[0].value).toBe(3.5e5);
    await change({ ...gauge, circuits: [circuit(1)] }, 'Back, for a moment.', null);
    await change(gauge, 'It always read gauge.', null);
    while (await reconverter.step());
    const all = await newest('suction_pressure_pa');
    for (const { value } of [all[0], all[720], all[1439]]) expect(value).toBeCloseTo(absolute, -1);
  });

  it('retires a unit with its findings, keeps what was, and brings it back', async () => {
    await addFinding(database, 1);
    const retired = await call('POST', `${unitPath}/retire`, { reason: 'Scrapped.' });
    expect(retired.answer.retiredAt).not.toBeNull();
    const { rows } = await database.query('select from finding where unit_id = 1 and ended_at is null');
    expect(rows).toEqual([]);
    const headers = await engineer.headers();
    expect((await fetch(`${base}/api/units/harbour/chiller-1`, { headers })).status).toBe(200);
    await expect
      .poll(
        async () =>
          ((await (await fetch(`${base}/api/units`, { headers })).json()) as { total: number }).total,
        { timeout: 60_000 },
      )
      .toBe(0);
    expect((await call('POST', `${unitPath}/retire`, { reason: 'Twice.' })).status).toBe(400);
    expect((await call('POST', `${unitPath}/bring-back`, { reason: 'Sold.' })).answer.retiredAt).toBeNull();
  });

  it('takes a circuit out that a change leaves out, and in again', async () => {
    const gauge = { ...circuit(1), suctionReference: 'gauge' };
    const both = { ...unit, circuits: [gauge, { ...gauge, number: 2 }] };
    expect((await change(both, 'A second circuit.', null)).answer.draft.circuits).toHaveLength(2);
    expect(
      (await change({ ...unit, circuits: [gauge] }, 'It has one.', null)).answer.draft.circuits,
    ).toHaveLength(1);
    expect((await change(both, 'It has two.', null)).answer.draft.circuits).toHaveLength(2);
    const { rows } = await database.query('select from circuit where unit_id = 1');
    expect(rows).toHaveLength(2);
  });

  it('moves a unit to another site, and only to one that its author sees', async () => {
    const high = { ...site, key: 'hill', name: 'Hill', altitude_m: 1500 };
    await call('POST', '', { site: high, reason: 'First.' });
    const to = { site: 'hill', key: 'chiller-1', reason: 'Sold.', holdsFrom: new Date().toISOString() };
    expect((await call('POST', `${unitPath}/move`, to, limited)).status).toBe(403);
    expect((await call('POST', '/hill/units', { unit, reason: 'First.' }, limited)).status).toBe(404);
    const moved = await call('POST', `${unitPath}/move`, {
      ...to,
      holdsFrom: new Date(Date.now() - 1000).toISOString(),
    });
    expect(moved.status).toBe(200);
    expect((await call('GET', unitPath)).status).toBe(404);
    expect(moved.answer.changes[0]).toMatchObject({ kind: 'move' });
    const { rows } = await database.query('select from circuit_past');
    expect(rows.length).toBeGreaterThan(0);
  });

  interface Outcome {
    columns: { head: string; is: string | null }[];
    added: number;
    changed: number;
    same: number;
    problemCount: number;
    problems: { row: number; column: number | null; sentence: string }[];
    detail?: string;
  }
  async function table(path: string, content: string | Buffer, by = engineer) {
    const response = await fetch(`${base}/api/registry/table${path}`, {
      method: 'POST',
      headers: { ...(await by.headers()), 'content-type': 'application/octet-stream' },
      body: new Uint8Array(Buffer.from(content)),
    });
    return { status: response.status, answer: (await response.json()) as Outcome };
  }
  const sheet = (rows: string[]) =>
    [
      'Site;Time zone;Chiller;Refrigerant;Capacity [kW];Cooled by;Pressure reads;Kv [m3/h];Note',
      ...rows,
    ].join('\n');
  const asTold = '?reason=' + encodeURIComponent('The list of the caretaker.');

  it('looks through a spreadsheet before it writes anything, and writes all of it or nothing', async () => {
    const wrong = sheet([
      'Mill;Europe/Lisbon;M 1;R999;120;air;gauge;2,5;',
      'Mill;;M 2;R134a;much;air;gauge;;',
    ]);
    const { answer } = await table('/preview', wrong);
    expect(answer.columns.map(({ is }) => is)).toEqual([
      ...['site.key', 'site.timeZone', 'unit.key', 'unit.refrigerant', 'unit.nominalCapacity_W'],
      ...['unit.condenser', 'circuit.suctionReference', 'circuit.kv_m3_h', null],
    ]);
    expect(answer.problems).toMatchObject([
      { row: 2, column: 4 },
      { row: 1, column: 3 },
    ]);
    expect((await table(asTold, wrong)).status).toBe(400);
    expect((await call('GET', '/mill')).status).toBe(404);
    expect((await table('/preview', wrong, limited)).answer.problemCount).toBeGreaterThan(2);
  });

  it('reads it in, says nothing new the second time, and corrects the third; out again it is the same', async () => {
    const rows = Array.from(
      { length: 60 },
      (_, n) => `Mill;Europe/Lisbon;M ${n};R134a;12${n % 10};air;gauge;2,5;`,
    );
    expect((await table(asTold, sheet(rows))).answer).toMatchObject({
      added: 60,
      changed: 0,
      problemCount: 0,
    });
    expect((await table(asTold, sheet(rows))).answer).toMatchObject({ added: 0, changed: 0, same: 60 });
    const other = [...rows.slice(1), rows[0].replace('2,5', '3,1')];
    expect((await table(asTold, sheet(other))).answer).toMatchObject({ added: 0, changed: 1, same: 59 });
    const { answer } = await call('GET', '/mill/units/m-0');
    expect(answer.draft.circuits[0].kv_m3_h).toBe(3.1);
    expect(answer.changes.map(({ kind, reason }) => [kind, reason])).toEqual([
      ['edit', 'The list of the caretaker.'],
      ['add', 'The list of the caretaker.'],
    ]);
    for (const form of ['csv', 'xlsx']) {
      const exported = await fetch(`${base}/api/registry/table.${form}`, {
        headers: await engineer.headers(),
      });
      const again = await table('/preview', Buffer.from(await exported.arrayBuffer()));
      expect(again.answer, form).toMatchObject({ added: 0, changed: 0, problemCount: 0 });
      expect(again.answer.same, form).toBeGreaterThan(60);
    }
  });

  describe('of Sparkplug B', () => {
    const path = '/mill/units/m-1/sparkplug';
    const node = { group: 'Site A', edge: 'gateway-1', device: 'Chiller' };
    const pressure = {
      ...{ ...node, metric: 'Ckt 1/Suction Press', stream: 'circuits', number: 1 },
      ...{ quantity: 'suction-pressure', unit: 'psi' },
    };
    interface Points {
      version: number;
      points: { metric: string; scale: number }[];
      quantities: { stream: string; number: number | null; quantity: string; units: string[] }[];
      nodes: { edge: string; device: string; metricCount: number; units: string[] }[];
      metrics: { name: string; guess: object | null }[];
    }
    const put = async (points: object[], version?: number) =>
      call<Points>('PUT', path, {
        ...{ points, reason: 'By the list of the gateway.' },
        version: version ?? (await call<Points>('GET', path)).answer.version,
      });
    const heard = async (by: TestPerson) =>
      (
        (await (await fetch(`${base}/api/heard`, { headers: await by.headers() })).json()) as {
          sparkplug: { device: string; metrics: object[] }[];
        }
      ).sparkplug;
    const sheetOf = async (way: string, content: string) => {
      const response = await fetch(`${base}/api/registry/sparkplug${way}`, {
        method: 'POST',
        headers: { ...(await engineer.headers()), 'content-type': 'application/octet-stream' },
        body: content,
      });
      return { status: response.status, answer: (await response.json()) as Outcome & { units: number } };
    };

    beforeAll(async () => {
      const metric = (name: string, unit: string | null) => ({ name, type: 'Double', unit, value: 36.3 });
      await database.query(
        `insert into sparkplug_node (group_id, edge_node, device, first_at, last_at, messages, rebirths, alive, born_at, metrics)
         select 'Site A', 'gateway-1', d.device, now(), now(), 12, 1, true, now(), d.metrics::jsonb
           from (values ('', $1), ('Chiller', $2)) as d(device, metrics)`,
        [
          JSON.stringify([metric('bdSeq', null), metric('Node Control/Rebirth', null)]),
          JSON.stringify([metric('Ckt 1/Suction Press', 'psig'), metric('Serial', null)]),
        ],
      );
    });

    it('lists what is heard with what its metrics probably are, to nobody who is limited to some sites', async () => {
      const { answer } = await call<Points>('GET', path);
      expect(answer.points).toEqual([]);
      expect(answer.nodes.map(({ device, metricCount }) => [device, metricCount])).toEqual([
        ['', 0],
        ['Chiller', 2],
      ]);
      expect(answer.quantities).toContainEqual({
        ...{ stream: 'circuits', number: 1, quantity: 'suction-pressure' },
        units: ['kPa', 'bar', 'psi', 'Pa', 'MPa', 'mbar', 'kgf/cm2'],
      });
      const query = new URLSearchParams(node).toString();
      const { metrics } = (await call<Points>('GET', `${path}/metrics?${query}`)).answer;
      expect(metrics).toMatchObject([
        {
          name: 'Ckt 1/Suction Press',
          guess: { stream: 'circuits', number: 1, quantity: 'suction-pressure', unit: 'psi' },
        },
        { name: 'Serial', guess: null },
      ]);
      const miller = await addPerson(database, 'engineer', ['mill']);
      expect((await call<Points>('GET', path, undefined, miller)).answer.nodes).toEqual([]);
      expect((await call('GET', `${path}/metrics?${query}`, undefined, miller)).status).toBe(404);
      expect((await heard(engineer)).map(({ device, metrics: all }) => [device, all.length])).toEqual([
        ['Chiller', 2],
      ]);
      expect(await heard(miller)).toEqual([]);
    });

    it('takes them with a reason, refuses what the unit does not have, and a change of the unit keeps them', async () => {
      for (const wrong of [
        { number: 7 },
        { quantity: 'flow' },
        { unit: 'gpm' },
        { number: undefined },
        { scale: 0 },
        { group: 'a/b' },
      ])
        expect((await put([{ ...pressure, ...wrong }])).status, JSON.stringify(wrong)).toBe(400);
      expect((await put([pressure, { ...pressure, metric: 'Other' }])).status).toBe(400);
      const { status, answer } = await put([{ ...pressure, scale: 0.1 }]);
      expect(status).toBe(200);
      expect(answer.points).toMatchObject([{ metric: 'Ckt 1/Suction Press', scale: 0.1 }]);
      expect((await put([], answer.version - 1)).status).toBe(409);
      const registered = (await call('GET', '/mill/units/m-1')).answer;
      expect(registered.changes[0]).toMatchObject({ kind: 'edit', reason: 'By the list of the gateway.' });
      expect(registered.changes[0].differences).toEqual([
        {
          ...{ field: 'sparkplug circuits 1 suction-pressure', before: null },
          after: 'Site A/gateway-1/Chiller: Ckt 1/Suction Press, in psi times 0.1',
        },
      ]);
      const draft = { ...registered.draft, nominalCapacity_W: 150_000 };
      const changed = await call('PUT', '/mill/units/m-1', {
        ...{ unit: draft, reason: 'Nameplate.', holdsFrom: null, version: registered.version },
      });
      expect(changed.status).toBe(200);
      expect((await call<Points>('GET', path)).answer.points).toHaveLength(1);
      expect(await heard(engineer)).toHaveLength(1);
    });

    it('goes out as a spreadsheet and comes in again, as a whole or not at all', async () => {
      const exported = await fetch(`${base}/api/registry/sparkplug.csv`, {
        headers: await engineer.headers(),
      });
      const csv = await exported.text();
      expect(csv.split('\n')[1]).toBe(
        'mill,m-1,Site A,gateway-1,Chiller,Ckt 1/Suction Press,circuit 1,suction pressure,psi,0.1',
      );
      expect((await sheetOf('/preview', csv)).answer).toMatchObject({
        units: 1,
        changed: 0,
        problemCount: 0,
      });
      const row = (unit: string, part: string, quantity: string, sentIn: string) =>
        `Mill,${unit},Site A,gateway-1,Chiller,Ckt 1/Suction Press,${part},${quantity},${sentIn},`;
      const head = csv.split('\n')[0];
      const wrong = [
        head,
        row('M 2', 'circuit 1', 'suction pressure', 'degF'),
        row('M 2', 'roof', 'suction pressure', 'psi'),
        row('M 2', 'circuit 9', 'Suction Pressure', 'PSIG'),
        row('nowhere', 'circuit 1', 'suction pressure', 'psi'),
      ].join('\n');
      const { answer } = await sheetOf('/preview', wrong);
      expect(answer.problems.map((problem) => problem.row)).toEqual([1, 2, 3, 4]);
      expect((await sheetOf('?reason=List', wrong)).status).toBe(400);
      const right = [head, row('M 2', 'Circuit 1', 'Suction Pressure', 'PSIG')].join('\n');
      expect((await sheetOf('?reason=List', right)).answer).toMatchObject({ changed: 1, problemCount: 0 });
      const { points } = (await call<Points>('GET', '/mill/units/m-2/sparkplug')).answer;
      expect(points).toMatchObject([{ quantity: 'suction-pressure', unit: 'psi', number: 1, scale: 1 }]);
    });
  });

  it('moves a circuit and a backup module to another unit, with what was stored and found of them', async () => {
    const made = (key: string, circuits: number[]) => ({ ...unit, key, circuits: circuits.map(circuit) });
    const hall = { ...site, key: 'hall', name: 'Hall' };
    await call('POST', '', { site: hall, reason: 'First.' });
    await call('POST', '/hall/units', { unit: made('one', [1, 2]), reason: 'First.' });
    await call('POST', '/hall/units', { unit: made('two', [1]), reason: 'First.' });
    const idOf = async (key: string, number: number) =>
      (
        await database.query<{ id: number }>(
          `select c.id from circuit c join unit u on u.id = c.unit_id where u.key = $1 and c.number = $2`,
          [key, number],
        )
      ).rows[0]?.id;
    const second = await idOf('one', 2);
    const { rows: units } = await database.query<{ id: number }>(`select id from unit where key = 'one'`);
    const finding = await addFinding(database, units[0].id);
    await database.query(`update finding set subject_key = 'circuit/2' where id = $1`, [finding]);
    const to = { site: 'hall', unit: 'two', reason: 'Belongs to the other machine.', holdsFrom: null };
    const move = (from: string, part: string, body: object) =>
      call('POST', `/hall/units/${from}/${part}/move`, { ...to, ...body });
    // The first number is taken there; a unit keeps its last circuit; what is not there cannot be moved.
    expect((await move('one', 'circuits/2', { number: 1 })).answer.errors).toMatchObject([
      { name: 'number' },
    ]);
    expect((await move('two', 'circuits/1', { unit: 'one', number: 5 })).status).toBe(400);
    expect((await move('one', 'circuits/7', { number: 2 })).status).toBe(404);
    const moved = await move('one', 'circuits/2', { number: 3 });
    expect(moved.status).toBe(200);
    expect(moved.answer.draft.circuits.map(({ number }) => number)).toEqual([1, 3]);
    expect(moved.answer.changes[0]).toMatchObject({ kind: 'move', reason: 'Belongs to the other machine.' });
    expect(await idOf('two', 3)).toBe(second);
    const { rows } = await database.query(
      `select (select count(*)::int from reconversion where circuit_id = $1) as converting,
              (select count(*)::int from finding where unit_id = $2 and ended_at is null) as open`,
      [second, units[0].id],
    );
    expect(rows).toEqual([{ converting: 1, open: 0 }]);

    const module = { ...moduleEntry, number: 1, circuits: [1] };
    await database.query('insert into module (unit_id, number, entry) values ($1, 1, $2)', [
      units[0].id,
      module,
    ]);
    expect((await move('one', 'circuits/1', { unit: 'one', number: 9 })).status).toBe(400);
    expect((await move('one', 'modules/1', { number: 1, circuits: [9] })).status).toBe(400);
    const there = await move('one', 'modules/1', { number: 1, circuits: [3] });
    expect(there.status).toBe(200);
    expect(there.answer.draft.modules).toMatchObject([{ number: 1, circuits: [3] }]);
    expect((await database.query('select from module_due')).rowCount).toBe(1);
  });

  it('takes a height that a document corrects, judges anew by it, and leaves alone what is the same', async () => {
    const { documents } = createServices(
      readConfig({ DATABASE_URL: 'postgres://unused', ROLES: 'api' }),
      database,
      pino({ level: 'silent' }),
      { ready: true, engine: null },
    );
    const entry = {
      ...{ key: 'c-1', name: 'C 1', refrigerant: 'R134a', nominalCapacity_W: 200_000, condenser: 'air' },
      ...{
        commissionedOn: '2023-04-01',
        controllerFirmware: '1.0',
        circuits: [circuitEntry(1)],
        modules: [],
      },
    };
    const document = (altitude_m: number, units: object[]) => ({
      sites: [
        {
          ...{ key: 'mountain', name: 'Mountain', altitude_m, latitude_deg: 46, longitude_deg: 8 },
          ...{ timeZone: 'Europe/Zurich', climate: 'cold', units },
        },
      ],
    });
    await documents.import(document(100, [entry, { ...entry, key: 'c-2' }]));
    const versions = async () =>
      (
        await database.query<{ version: number; site: string; waiting: number }>(
          `select v.version, s.xmin::text as site, (select count(*)::int from reconversion r join circuit c on c.id = r.circuit_id
                    join unit u on u.id = c.unit_id where u.site_id = s.id) as waiting
             from registry_version v, site s where s.key = 'mountain'`,
        )
      ).rows[0];
    const first = await versions();
    expect(first.waiting).toBe(0);
    await documents.import(document(100, [entry]));
    expect(await versions()).toEqual(first);
    // Also of the unit that this document does not name.
    await documents.import(document(1500, [entry]));
    expect((await versions()).waiting).toBe(2);
    const { rows } = await database.query<{ altitude_m: number }>(
      `select (facts->>'altitude_m')::float8 as altitude_m from reconversion r, jsonb_path_query(r.before, '$[*].facts') facts
         join circuit c on true join unit u on u.id = c.unit_id join site s on s.id = u.site_id
        where c.id = r.circuit_id and s.key = 'mountain'`,
    );
    expect(rows.map(({ altitude_m }) => altitude_m)).toEqual([100, 100]);
  });
});
