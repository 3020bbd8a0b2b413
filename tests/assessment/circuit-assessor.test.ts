import { randomUUID } from 'node:crypto';
import { learnHabits } from '@coldrounds/core';
import { simulateCircuit } from '@coldrounds/simulator';
import type pg from 'pg';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
  type CircuitAssessorParts,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { seedFleet } from '../support/store/fleet.js';
import { assessorParts, everythingDue, startOfEnded_s } from '../support/assessor.js';
import { runningPack } from '../support/running-pack.js';
import { storeMessages } from '../support/store/stored.js';

const first_s = startOfEnded_s(2);
const options = { ...defaultCircuitOptions, policy: everythingDue };

describe('an assessor of circuits', () => {
  let server: DatabaseServer;
  let database: Database;
  let parts: CircuitAssessorParts;

  beforeAll(async () => void (server = await startDatabaseServer()));
  afterAll(() => server?.stop());
  beforeEach(async () => {
    database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 2, 1);
    await storeMessages(
      database,
      [1, 2].map((unit) => ({
        // R134a at 2.5 bar gauge at sea level boils at 5.1 C (COMPUTED, CoolProp 8.0.0): 0.9 K of superheat.
        topic: `coldrounds/1/harbour/chiller-${unit}/circuits/1`,
        payload: runningPack(first_s, 720, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      })),
    );
    parts = assessorParts(database);
    await parts.work.enrol();
  });
  afterEach(() => database?.close());

  /** Takes what is due and works on it; returns the circuits taken. */
  const assess = async (by: CircuitAssessorParts, limit = 16) => {
    const holder = randomUUID();
    const taken = await by.work.take(holder, everythingDue, limit);
    await new CircuitAssessor(by, options).run(holder, taken);
    return taken.map(({ circuitId }) => circuitId);
  };
  const query = async <Row extends pg.QueryResultRow = pg.QueryResultRow>(text: string) =>
    (await database.query<Row>(text)).rows;
  const flooded = () =>
    query<{ source: string }>(
      `select source from finding where ended_at is null and condition = 'floodback-risk' order by 1`,
    );
  const cut = () => Promise.reject(Object.assign(new Error('cut off'), { code: 'ECONNRESET' }));

  it.each([
    ['after the windows were judged', () => ({ work: patched(parts.work, { owed: cut }) })],
    ['before the findings were kept', () => ({ findings: patched(parts.findings, { write: cut }) })],
    ['while the windows are kept', () => ({ windows: patched(parts.windows, { since: cut }) })],
  ])('that ends %s leaves its circuits to the next one', async (_, broken) => {
    await expect(assess({ ...parts, ...broken() })).rejects.toThrow('cut off');
    expect(await flooded()).toEqual([]);
    // What it held is not to be had until its lease has run out.
    expect(await assess(parts)).toEqual([]);
    await database.query(`update circuit_state set leased_until = now() - interval '1 second'`);
    expect(await assess(parts)).toEqual([1, 2]);
    expect(await flooded()).toEqual([{ source: 'circuit/1' }, { source: 'circuit/2' }]);
    expect(await assess(parts)).toEqual([]);
  });

  it('writes nothing for circuits that another has taken over meanwhile', async () => {
    const holder = randomUUID();
    const taken = await parts.work.take(holder, everythingDue, 16);
    await database.query(`update circuit_state set leased_until = now() - interval '1 second'`);
    const other = await parts.work.take(randomUUID(), everythingDue, 16);
    expect(other).toEqual(taken);
    await new CircuitAssessor(parts, options).run(holder, taken);
    expect(await query('select from circuit_day')).toEqual([]);
    expect(await query('select from window_due')).toHaveLength(2);
  });

  it('remembers of two days that values are sent on change, and nothing of a gateway that samples', async () => {
    const { readings, windows } = parts;
    const deadband = { temperature: 0.2, pressure: 3000, opening: 0.5, load: 1, flow: 2e-4 };
    const { series } = simulateCircuit({ seed: 21, days: 2, sending: { onChange: { deadband } } });
    const sentOnChange = patched(readings, {
      // Windows are read by hours; only the check of sensors reads days.
      circuitSeries: (circuitId, from_s, to_s) =>
        circuitId === 1 && to_s - from_s > 86_400
          ? Promise.resolve(series)
          : readings.circuitSeries(circuitId, from_s, to_s),
    });
    expect(await windows.learnedHabits([1, 2])).toEqual(new Map());
    await assess({ ...parts, readings: sentOnChange });
    const learned = await windows.learnedHabits([1, 2]);
    expect([...learned.keys()]).toEqual([1]);
    expect(learned.get(1)).toEqual(learnHabits(series));
    // Windows that become due again are judged with it, and it stays until the sensors are looked at again.
    await storeMessages(database, [
      {
        topic: 'coldrounds/1/harbour/chiller-1/circuits/1',
        payload: runningPack(first_s + 5, 1, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      },
    ]);
    await assess(parts);
    expect([...(await windows.learnedHabits([1, 2])).keys()]).toEqual([1]);
    expect(await query('select from window_due')).toEqual([]);
  });

  it('keeps a window that cannot be judged with its reason, and judges the other circuit', async () => {
    const { readings } = parts;
    const broken = patched(readings, {
      circuitSeries: async (...given) => {
        const series = await readings.circuitSeries(...given);
        // An error of ours that only one circuit's telemetry brings about.
        return given[0] === 1 ? { ...series, suctionPressure_Pa: null as never } : series;
      },
    });
    await assess({ ...parts, readings: broken });
    expect(await flooded()).toEqual([{ source: 'circuit/2' }]);
    const [kept] = await query<{ kind: string; owner_id: number; reason: string }>(
      'select * from not_judged',
    );
    expect(kept).toMatchObject({ kind: 'window', owner_id: 1 });
    expect(kept.reason).toContain('TypeError');
    expect(await query('select from window_due')).toEqual([]);
    // Late telemetry makes it due again, and then it is judged.
    await storeMessages(database, [
      {
        topic: 'coldrounds/1/harbour/chiller-1/circuits/1',
        payload: runningPack(first_s + 5, 1, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      },
    ]);
    await assess(parts);
    expect(await query('select from not_judged')).toEqual([]);
    expect(await flooded()).toHaveLength(2);
  });

  it('tries a circuit on which it fails later and later, five times, and the others all the while', async () => {
    const failing = patched(parts.windows, {
      since: async (circuits) => {
        const found = await parts.windows.since(circuits);
        const broken = found.get(1);
        if (broken?.length) broken[0] = { ...broken[0], judgement: null as never };
        return found;
      },
    });
    await database.query('delete from window_due where circuit_id = 2');
    const pauses_s: number[] = [];
    for (let attempt = 1; attempt <= 5; attempt++) {
      expect(await assess({ ...parts, windows: failing })).toEqual([1]);
      const [state] = await query<{ attempts: number; pause_s: number; failure: string }>(
        `select attempts, failure, extract(epoch from not_before - failed_at)::float8 as pause_s
           from circuit_state where circuit_id = 1`,
      );
      expect(state.attempts).toBe(attempt);
      expect(state.failure).toContain('TypeError');
      pauses_s.push(Math.round(state.pause_s));
      // Due as it is, it is left alone until its pause is over.
      expect(await assess(parts)).toEqual([]);
      if (attempt < 5) await database.query('update circuit_state set not_before = now()');
    }
    expect(pauses_s.slice(0, 4)).toEqual([30, 120, 480, 1920]);
    // From then on it waits for the next window of two hours.
    expect(pauses_s[4]).toBeGreaterThan(0);
    expect(pauses_s[4]).toBeLessThanOrEqual(2 * 3600 + 300);
    await database.query('update circuit_state set not_before = now()');
    expect(await assess(parts)).toEqual([1]);
    const [state] = await query('select attempts, failure from circuit_state where circuit_id = 1');
    expect(state).toEqual({ attempts: 0, failure: null });
    expect(await flooded()).toEqual([{ source: 'circuit/1' }]);
  });

  it('takes windows of the running day before history, and of one circuit too', async () => {
    const old_s = first_s - 20 * 86_400;
    const pack = (unit: number, start_s: number, steps: number) => ({
      topic: `coldrounds/1/harbour/chiller-${unit}/circuits/1`,
      payload: runningPack(start_s, steps, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
    });
    await database.query('delete from window_due where circuit_id = 1');
    await storeMessages(database, [pack(1, old_s, 720), pack(2, old_s, 720)]);
    const taken = await parts.work.take('first', everythingDue, 1);
    expect(taken).toEqual([{ circuitId: 2, live: true }]);
    const due = await parts.work.dueWindows(taken, everythingDue, 24);
    expect(due.map(({ start_s }) => start_s)).toEqual([first_s]);
    expect(await parts.work.take('second', everythingDue, 1)).toEqual([{ circuitId: 1, live: false }]);
  });
});

describe('the circuits of one unit', () => {
  let server: DatabaseServer;
  beforeAll(async () => void (server = await startDatabaseServer()));
  afterAll(() => server?.stop());

  it('are taken together, but for one that waits for its next attempt', async () => {
    const database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 2, 2);
    await storeMessages(database, [
      {
        topic: 'coldrounds/1/harbour/chiller-1/circuits/2',
        payload: runningPack(first_s, 720, { suctionPressure_Pa: 250_000, suctionTemperature_C: 6 }),
      },
    ]);
    const { work } = assessorParts(database);
    await work.enrol();
    const ids = async (holder: string) =>
      (await work.take(holder, everythingDue, 16)).map(({ circuitId }) => circuitId);
    expect(await ids('first')).toEqual([1, 2]);
    await work.release('first');
    await work.fail(1, 'it fails', 30);
    expect(await ids('second')).toEqual([2]);
    await database.close();
  });

  it('are taken by the thousand in one statement', async () => {
    const database = await openMigrated(await server.newDatabase());
    await seedFleet(database, 1, 1);
    await database.query(
      `insert into circuit (unit_id, number, entry)
       select 1, n, jsonb_set(entry, '{number}', to_jsonb(n)) from circuit, generate_series(2, 5000) as n`,
    );
    await database.query(
      `insert into window_due select id, to_timestamp($1), now() - interval '1 hour' from circuit`,
      [first_s],
    );
    const { work } = assessorParts(database);
    await work.enrol();
    expect(await work.take('first', everythingDue, 4000)).toHaveLength(5000);
    expect(await work.take('second', everythingDue, 4000)).toHaveLength(0);
    await database.close();
  });
});

/** A part of which some methods do otherwise. */
function patched<Part extends object>(part: Part, methods: Partial<Part>): Part {
  return Object.assign(Object.create(part) as Part, methods);
}
