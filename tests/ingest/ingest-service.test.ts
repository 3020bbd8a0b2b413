import { randomBytes } from 'node:crypto';
import mqtt from 'mqtt';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { type RunningBroker, startBroker } from '../../backend/server/src/embedded/broker.js';
import { HeardService } from '../../backend/server/src/pages/heard.service.js';
import type { Identity } from '../../backend/server/src/people/identity.js';
import { HeardRepository } from '../../backend/server/src/storage/ingest/heard.repository.js';
import { SparkplugRepository } from '../../backend/server/src/storage/registry/sparkplug.repository.js';
import { IngestService } from '../../backend/server/src/ingest/index.js';
import {
  type CommitSummary,
  type Database,
  IngestRepository,
  readCircuitSeries,
} from '../../backend/server/src/storage/index.js';
import {
  type DatabaseServer,
  freePort,
  openMigrated,
  startDatabaseServer,
} from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { circuitPack, publishAll, until } from '../support/publish.js';
import { sparkplugCases } from './sparkplug-cases.js';

const root = 'coldrounds/1/harbour/chiller-1';

describe('ingestion through a broker of MQTT 3.1.1', () => {
  let server: DatabaseServer;
  let database: Database;
  let broker: RunningBroker;
  let service: IngestService;
  const commits: CommitSummary[] = [];
  const lines: string[] = [];

  beforeAll(async () => {
    server = await startDatabaseServer();
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database);
    broker = await startBroker({ port: await freePort() });
    service = new IngestService(database, {
      mqtt: { url: broker.url, clientId: 'ingest-test' },
      sparkplug: { hostId: 'coldrounds-test', limits: { reorder_ms: 300, patience_ms: 60_000, held: 500 } },
      onCommitted: (summary) => commits.push(summary),
      log: (_level, line) => lines.push(line),
    });
    service.start();
    await until('the subscriptions', async () =>
      ['Connected', 'Sparkplug: Connected'].every((start) => lines.some((line) => line.startsWith(start))),
    );
  });
  afterAll(async () => {
    await service?.stop();
    await broker?.stop();
    await database?.close();
    await server?.stop();
  });

  const send = (topic: string, payload: unknown) =>
    publishAll(broker.url, [
      {
        topic,
        payload: Buffer.isBuffer(payload) || typeof payload === 'string' ? payload : JSON.stringify(payload),
      },
    ]);
  const unread = async () =>
    (
      await database.query<{ topic: string; reason: string; detail: string; payload: Buffer }>(
        'select topic, reason, detail, payload from unread_message order by id',
      )
    ).rows;

  it('falls back from MQTT 5 to 3.1.1', () => {
    expect(lines).toContain('Connected over MQTT 3.1.1.');
  });

  it('stores a pack and tells what changed', async () => {
    const first_s = Date.UTC(2026, 3, 1) / 1000;
    await send(`${root}/circuits/1`, circuitPack(first_s, 360));
    await until('the rows', async () => (await database.query('select from reading')).rowCount === 360);
    const series = await readCircuitSeries(
      database,
      1,
      new Date(first_s * 1000),
      new Date((first_s + 3600) * 1000),
    );
    expect(series.time_s[359] - series.time_s[0]).toBe(3590);
    await until('the summary', async () => commits.length === 1);
    expect(commits[0]).toMatchObject({
      rows: 360,
      windows: [{ circuitId: 1, windowStart_ms: first_s * 1000 }],
    });
    // R134a at 2.5 bar gauge at sea level boils at about 5 C (COMPUTED, CoolProp 8.0.0: 349.7 kPa at 5 C), so 6 C of
    // suction gas is about 1 K of superheat.
    const { rows } = await database.query<{ superheat_k: number; subcooling_k: number }>(
      'select avg(superheat_k) as superheat_k, avg(subcooling_k) as subcooling_k from reading',
    );
    expect(rows[0].superheat_k).toBeGreaterThan(0);
    expect(rows[0].superheat_k).toBeLessThan(2);
    expect(rows[0].subcooling_k).toBeGreaterThan(0);
  });

  it('stores both water sides, backup, a closing and presence', async () => {
    const bt = Date.UTC(2026, 3, 1) / 1000;
    await send(`${root}/water`, [
      { bt, n: 'entering-temperature', u: 'Cel', v: 12 },
      { n: 'flow', u: 'l/s', v: 8 },
    ]);
    await send(`${root}/condenser`, [{ bt, n: 'fan-speed', u: '%', v: 80 }]);
    await send(`${root}/backup/1`, [
      { bt, n: 'voltage', u: 'V', v: 15.5 },
      { n: 'mains', vb: true },
    ]);
    await send(`${root}/backup/1/closing`, [
      { bt, n: 'voltage', u: 'V', t: 0.05, v: 15.2 },
      { n: 'voltage', u: 'V', v: 15.5 },
      { n: 'current', u: 'A', v: 0.5 },
    ]);
    await send(`${root}/presence`, [{ n: 'online', vb: true }]);
    await until(
      'presence',
      async () => (await database.query('select from unit where online')).rowCount === 1,
    );
    const stored = await database.query(
      `select (select flow_m3_s from water_reading) as flow,
              (select fan_speed_pct from condenser_reading) as fan, (select mains from backup_reading) as mains,
              (select voltage_v from closing) as voltage, (select time_s from closing) as time,
              (select current_a from closing) as current`,
    );
    expect(stored.rows[0]).toEqual({
      flow: 0.008,
      fan: 80,
      mains: true,
      voltage: [15.5, 15.2],
      time: [0, 0.05],
      current: [0.5, null],
    });
    expect((await database.query('select from module_due')).rowCount).toBe(1);
  });

  it('keeps whole what it cannot read, with the reason, and goes on', async () => {
    const good = { n: 'valve-opening', u: '%', v: 50 };
    const blob = randomBytes(2000);
    blob[0] = 0xff;
    const bad: [string, string, unknown][] = [
      ['not-json', `${root}/circuits/1`, '[{"n":'],
      ['wrong-unit', `${root}/circuits/1`, [{ ...good, u: 'bar' }]],
      ['unknown-site', 'coldrounds/1/nowhere/chiller-1/circuits/1', [good]],
      ['unknown-unit', 'coldrounds/1/harbour/chiller-9/circuits/1', [good]],
      ['unknown-circuit', `${root}/circuits/9`, [good]],
      ['unknown-module', `${root}/backup/9`, [{ n: 'voltage', u: 'V', v: 5 }]],
      ['unknown-topic', 'coldrounds/1/harbour', [good]],
      ['out-of-range', `${root}/circuits/1`, [{ n: 'suction-temperature', u: 'Cel', v: 850 }]],
      ['time-in-future', `${root}/circuits/1`, [{ ...good, bt: Date.now() / 1000 + 3600 }]],
      ['not-text', `${root}/circuits/1`, blob],
      ['too-large', `${root}/circuits/1`, Buffer.alloc(5 * 1024 * 1024 + 1, 0x20)],
      ['not-senml', `${root}/circuits/1`, { n: 'valve-opening' }],
      ['unknown-name', `${root}/circuits/1`, [{ n: `x${'y'.repeat(3000)}`, u: '%', v: 1 }]],
      ['not-json', `${root}/circuits/1`, 'a\0b'],
    ];
    for (const [, topic, payload] of bad) await send(topic, payload);
    await until('the unread messages', async () => (await unread()).length === bad.length);
    const kept = await unread();
    expect(kept.map((row) => row.reason)).toEqual(bad.map(([reason]) => reason));
    expect(kept.map((row) => row.topic)).toEqual(bad.map(([, topic]) => topic));
    expect(kept[9].payload.equals(blob)).toBe(true);
    expect(kept[10].payload.length).toBe(5 * 1024 * 1024 + 1);
    for (const row of kept) expect(row.detail.length).toBeLessThan(400);

    const before = (await database.query('select from reading')).rowCount!;
    await send(`${root}/circuits/2`, [good, { ...good, t: -10 }]);
    await until(
      'good rows after bad',
      async () => (await database.query('select from reading')).rowCount === before + 2,
    );
  });

  it('takes a pack of 10,000 records', async () => {
    const records = Array.from({ length: 10_000 }, (_, i) => ({
      n: 'valve-opening',
      u: '%',
      t: 1.7e9 + i,
      v: i % 100,
    }));
    await send(`${root}/circuits/2`, records);
    await until(
      'the rows',
      async () =>
        (await database.query(`select from reading where time < to_timestamp(1.71e9)`)).rowCount === 10_000,
    );
  });

  it('knows a unit that was added to the registry meanwhile', async () => {
    await database.query(
      `insert into circuit (unit_id, number, entry) select unit_id, 3, entry from circuit where number = 1`,
    );
    await database.query(`select pg_notify('coldrounds_registry', '')`);
    // The notification may come later than the first message: sent again until it is known; the same row is one.
    const sample = { n: 'valve-opening', u: '%', t: Date.UTC(2026, 3, 20) / 1000, v: 50 };
    const rows = async () =>
      (
        await database.query(
          'select from reading join circuit on circuit_id = circuit.id where circuit.number = 3',
        )
      ).rowCount;
    await until('the row', async () => {
      await send(`${root}/circuits/3`, [sample]);
      return (await rows()) === 1;
    });
    // What was sent too often has come before the last one.
    await send(`${root}/circuits/3`, [{ ...sample, t: sample.t + 10 }]);
    await until('the last row', async () => (await rows()) === 2);
  });

  it('keeps what a unit sends before it is registered, lists what it carries, and reads it in then', async () => {
    const first_s = Date.UTC(2026, 5, 1) / 1000;
    const stranger = 'coldrounds/1/harbour/new-one';
    for (const at_s of [first_s, first_s + 600]) await send(`${stranger}/circuits/1`, circuitPack(at_s, 60));
    await send(`${stranger}/circuits/2`, [{ n: 'suction-pressure', u: 'Pa', t: first_s, v: -20_000 }]);
    await send(`${stranger}/circuits/2`, [{ n: 'valve-opening-2', u: '%', t: first_s, v: 40 }]);
    const heard = new HeardService(new HeardRepository(database), new SparkplugRepository(database));
    const everybody = { sites: null } as Identity;
    const own = async () => (await heard.list(everybody)).units.find(({ unit }) => unit === 'new-one');
    await until('the topics', async () => (await own())?.messages === 4);
    expect(await own()).toMatchObject({
      ...{ siteKnown: true, unitKnown: false, kept: 4 },
      told: { circuits: [1, 2], tandemCircuits: [2], modules: [], gauge: true },
    });
    const names = (await own())!.topics[0].names.map(({ name }) => name);
    expect(names).toContain('superheat-setpoint');
    expect((await heard.list({ ...everybody, sites: ['elsewhere'] })).units).toEqual([]);

    await database.query(
      `with made as (
         insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
         values (1, 'new-one', 'New', 'R134a', 200000, 'air', '2023-04-01', '1.0') returning id)
       insert into circuit (unit_id, number, entry) select made.id, 1, entry from made, circuit where circuit.id = 1`,
    );
    await database.query(`select pg_notify('coldrounds_registry', '')`);
    await until(
      'its readings',
      async () =>
        (
          await database.query(
            `select from reading r join circuit c on c.id = r.circuit_id join unit u on u.id = c.unit_id where u.key = 'new-one'`,
          )
        ).rowCount === 120,
    );
    // Its second circuit is not registered: what it sent still waits.
    await until('the rest', async () => (await own())?.messages === 2);
    expect(await own()).toMatchObject({ unitKnown: true, told: { circuits: [2] } });
    const { rows } = await database.query(`select from unit where key = 'new-one' and heard_at is not null`);
    expect(rows).toHaveLength(1);
  });

  it('converts a late reading by what the registry says of its time', async () => {
    const since_s = Date.UTC(2026, 4, 10) / 1000;
    const { rows } = await database.query<{ facts: object }>(
      `select jsonb_build_object('refrigerant', 'R134a', 'evaporator', 'dry-expansion', 'reversible', false, 'reporting', null,
                'altitude_m', 0, 'entry', jsonb_set(entry, '{suctionPressure,reference}', '"absolute"')) as facts
         from circuit where id = 1`,
    );
    await database.query(
      'insert into circuit_past (circuit_id, until, facts) values (1, to_timestamp($1), $2)',
      [...[since_s, rows[0].facts]],
    );
    await database.query('update registry_version set version = version + 1');
    const pressure = (t: number) => ({ n: 'suction-pressure', u: 'Pa', t, v: 250_000 });
    await send(`${root}/circuits/1`, [pressure(since_s - 10), pressure(since_s)]);
    const stored = async () =>
      (
        await database.query<{ suction_pressure_pa: number }>(
          'select suction_pressure_pa from reading where circuit_id = 1 and time between to_timestamp($1) and to_timestamp($2) order by time',
          [since_s - 10, since_s],
        )
      ).rows.map((row) => row.suction_pressure_pa);
    await until('both', async () => (await stored()).length === 2);
    const [before, after] = await stored();
    expect(before).toBe(250_000);
    expect(after).toBe(351_325);
    await database.query('delete from circuit_past');
    await database.query('update registry_version set version = version + 1');
  });

  it('keeps a message that brings about an error of ours, and stores those around it', async () => {
    await database.query('truncate reading, unread_message');
    const { write } = IngestRepository.prototype;
    const odd = vi.spyOn(IngestRepository.prototype, 'write').mockImplementation(function (
      this: IngestRepository,
      batch,
    ) {
      if (batch.readings.some(({ columns }) => columns[2].includes(77.5))) throw new Error('a fault of ours');
      return write.call(this, batch);
    });
    const first_s = Date.UTC(2026, 4, 3) / 1000;
    const message = (i: number, opening: number) => ({
      topic: `${root}/circuits/1`,
      payload: JSON.stringify([{ n: 'valve-opening', u: '%', t: first_s + 10 * i, v: opening }]),
    });
    await publishAll(
      broker.url,
      Array.from({ length: 50 }, (_, i) => message(i, i === 20 ? 77.5 : 40)),
    );
    await until('the others', async () => (await database.query('select from reading')).rowCount === 49);
    odd.mockRestore();
    expect(await unread()).toMatchObject([{ reason: 'not-storable' }]);
    expect((await unread())[0].detail).toContain('a fault of ours');
    expect(service.status().storing).toBe('ok');
  });

  sparkplugCases(() => ({ database, url: broker.url, lines }));

  it('acknowledges what is stored: the broker holds nothing back for a new connection', async () => {
    expect(service.status()).toMatchObject({ connected: true, storing: 'ok', queuedMessages: 0 });
    await service.stop();
    const client = mqtt.connect(broker.url, {
      clientId: 'ingest-test',
      clean: false,
      manualConnect: true,
      resubscribe: false,
    });
    const came: string[] = [];
    client.on('message', (_topic, payload) => came.push(payload.toString()));
    client.connect();
    await until('the connection', async () => client.connected);
    // What the broker had held back would come before a new message.
    await send(`${root}/circuits/1`, 'new');
    await until('the new message', async () => came.includes('new'));
    await client.endAsync();
    expect(came).toEqual(['new']);
  });
});
