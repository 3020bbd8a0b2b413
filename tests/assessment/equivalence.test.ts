import { randomUUID } from 'node:crypto';
import {
  assessCircuit,
  diagnoseUnit,
  judgeWindow,
  subjectKey,
  unpackComparisons,
  type CircuitAdvice,
  type CircuitSeries,
  type Finding,
} from '@coldrounds/core';
import { simulateCircuit, type CircuitCase } from '@coldrounds/simulator';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  CircuitAssessor,
  defaultCircuitOptions,
  type CircuitAssessorParts,
} from '../../backend/server/src/assessment/circuit/circuit-assessor.js';
import { FleetWearSummary } from '../../backend/server/src/assessment/fleet-wear.js';
import { sliceSeries } from '../../backend/server/src/assessment/circuit/slices.js';
import type { EvidenceSources } from '../../backend/server/src/pages/evidence/evidence-context.js';
import { betweenCircuits } from '../../backend/server/src/pages/evidence/standing-evidence.js';
import type { Database } from '../../backend/server/src/storage/index.js';
import { SeriesRepository } from '../../backend/server/src/storage/repositories/readings/series.repository.js';
import { RejudgeRepository } from '../../backend/server/src/storage/assessment/rejudge.repository.js';
import { assessorParts, everythingDue } from '../support/assessor.js';
import { openMigrated, startDatabaseServer, type DatabaseServer } from '../support/store/database.js';
import { movedTo, simulatedFrom_s } from '../support/store/recent-days.js';
import { storeSeries } from '../support/store/store-series.js';

const days = 4;
const start_s = Math.floor(Date.now() / 86_400_000) * 86_400 - (days + 1) * 86_400;
/** Drawn once; every run sees the same circuits. */
const cases: (CircuitCase & { circuits: 1 | 2 })[] = [
  { seed: 11, circuits: 2, faults: [{ kind: 'loop-tuned-too-hard', circuit: 1 }] },
  { seed: 12, circuits: 2, faults: [{ kind: 'circuits-disturbing' }] },
  { seed: 13, circuits: 1, faults: [{ kind: 'undercharge', share: 0.3 }] },
  { seed: 14, circuits: 1, faults: [{ kind: 'setpoint', setpoint_K: 1.5 }] },
  { seed: 15, circuits: 2, faults: [{ kind: 'condenser-fouling', share: 0.5, circuit: 1 }] },
  { seed: 16, circuits: 1, faults: [{ kind: 'lost-steps', offset_pct: 8, sinceDaysAgo: 1.5 }] },
  {
    ...{ seed: 17, circuits: 2, capacityControl: 'stages', stand: null, selfTest: false },
    // It runs and stops in turn, so that there are stops before the valve leaks and since.
    habits: { cycling: { runMinutes: 150, stopMinutes: 25 } },
    load: { base: 0.22, occupied: 0.1, spread: 0.02, perTenKelvin: 0 },
    faults: [
      { kind: 'valve-leaks-by', share: 0.04, sinceDaysAgo: 1.5 },
      { kind: 'sensors-swapped-between-circuits', sensor: 'discharge-temperature' },
    ],
  },
  {
    // Both circuits always run together: only what each did before tells.
    ...{ seed: 18, circuits: 2, stand: null, selfTest: false },
    load: { base: 0.62, occupied: 0.1, spread: 0.02, perTenKelvin: 0 },
    faults: [
      { kind: 'condenser-fouling', share: 0.3, circuit: 1 },
      { kind: 'sensors-swapped-between-circuits', sensor: 'liquid-temperature', sinceDaysAgo: 1.5 },
    ],
  },
  {
    // They always ran like this, so that only the valves tell.
    ...{ seed: 19, circuits: 2, stand: null, selfTest: false },
    load: { base: 0.62, occupied: 0.1, spread: 0.02, perTenKelvin: 0 },
    faults: [{ kind: 'sensors-swapped-between-circuits', sensor: 'suction-pressure' }],
  },
];
/** What the store of this test has no table for. */
const notSent: CircuitCase['notSent'] = [
  'condenserEnteringTemperature_K',
  'condenserLeavingTemperature_K',
  'condenserFlow_m3_s',
  'condenserFanSpeed_pct',
];

/** A small generator with a seed, so that the order of work is random and the same in every run. */
function shuffled<Item>(items: readonly Item[], seed: number): Item[] {
  let state = seed;
  const next = () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  return items
    .map((item) => [next(), item] as const)
    .sort((a, b) => a[0] - b[0])
    .map(([, item]) => item);
}

describe('what follows from windows that are judged one by one', () => {
  let server: DatabaseServer;
  let database: Database;
  let parts: CircuitAssessorParts;
  const simulated = new Map<number, CircuitSeries>();

  /** Assesses until nothing is due: so many circuits at a time, and of each so many windows. */
  const work = async (circuits: number, windows: number) => {
    const assessor = new CircuitAssessor(parts, { ...defaultCircuitOptions, policy: everythingDue, windows });
    for (;;) {
      const holder = randomUUID();
      const taken = await parts.work.take(holder, everythingDue, circuits);
      if (taken.length === 0) return;
      await assessor.run(holder, taken);
    }
  };
  /** In as few portions as can be. */
  const workAtOnce = () => work(100, 1_000);
  const results = async () => ({
    claims: (
      await database.query<{ circuit_id: number; detail: Record<string, unknown> }>(
        'select circuit_id, detail from circuit_result order by 1',
      )
    ).rows,
    findings: (
      await database.query<{ source: string; document: Finding }>(
        `select source, document from finding where ended_at is null and absent_count = 0 and source ~ '^(circuit|normal|swapped)/' order by source, condition, subject_key`,
      )
    ).rows,
    normals: (
      await database.query<{
        circuit_id: number;
        seen: number;
        learned: string | null;
        advice: CircuitAdvice;
      }>(
        'select circuit_id, registered, complete, seen, basis, learned, advice from circuit_normal order by 1',
      )
    ).rows,
    // How often normal was learned depends on the order, and with it the checksums.
    compared: (
      await database.query<{ circuit_id: number; plateaus: Buffer }>(
        'select circuit_id, plateaus from departure_day order by circuit_id, day',
      )
    ).rows.flatMap(({ circuit_id, plateaus }) =>
      unpackComparisons(plateaus).map(({ checksum: _, ...one }) => ({ circuit_id, ...one })),
    ),
  });

  beforeAll(async () => {
    server = await startDatabaseServer();
    database = await openMigrated(await server.newDatabase());
    await database.query(
      `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
       values ('harbour', 'Harbour House', 100, 40, -8, 'UTC', 'mild')`,
    );
    for (const [index, one] of cases.entries()) {
      const result = simulateCircuit({ ...one, days, start_s: simulatedFrom_s, notSent });
      const unitId = index + 1;
      await database.query(
        `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
         values (1, $1, $1, $2, $3, $4, '2023-04-01', '1.0')`,
        [`chiller-${unitId}`, result.unit.refrigerant, result.unit.nominalCapacity_W, result.unit.condenser],
      );
      const ofUnit = [result.series, ...result.neighbours].map((series) => movedTo(start_s, series));
      for (const [at, series] of ofUnit.entries()) {
        const { rows } = await database.query<{ id: number }>(
          'insert into circuit (unit_id, number, entry) values ($1, $2, $3) returning id',
          [unitId, at + 1, result.unit.circuits[at]],
        );
        simulated.set(rows[0].id, inSinglePrecision(series));
        await storeSeries(
          database,
          { circuitId: rows[0].id, unitId },
          result.unit.refrigerant,
          series,
          at === 0,
        );
      }
    }
    // Valves are compared with no others: that depends on who was assessed before, and on the clock.
    parts = { ...assessorParts(database), wear: new FleetWearSummary(() => Promise.resolve([])) };
    await parts.work.enrol();
  });
  afterAll(async () => {
    await database?.close();
    await server?.stop();
  });

  it('is the same as what follows from all of them at once', async () => {
    // In random portions and a random order, some windows twice, with assessments in between.
    const { rows: all } = await database.query<{ id: number; start_s: number }>(
      'select circuit_id as id, extract(epoch from window_start)::float8 as start_s from window_due',
    );
    await database.query('delete from window_due');
    const order = shuffled([...all, ...shuffled(all, 5).slice(0, 30)], 7);
    for (let at = 0; at < order.length; at += 110) {
      const portion = order.slice(at, at + 110);
      await database.query(
        `insert into window_due (circuit_id, window_start, touched_at)
         select id, to_timestamp(start_s), now() - interval '1 hour' from unnest($1::int[], $2::float8[]) as w(id, start_s)
         on conflict do nothing`,
        [portion.map(({ id }) => id), portion.map((window) => window.start_s)],
      );
      await work(3, 5);
    }
    const bitByBit = await results();
    expect(bitByBit.claims).toHaveLength(simulated.size);
    expect(bitByBit.findings.length).toBeGreaterThan(2);
    expect(bitByBit.normals.filter(({ learned }) => learned !== null).length).toBeGreaterThan(2);
    expect(bitByBit.compared.length).toBeGreaterThan(50);
    expect(bitByBit.findings.map(({ document }) => document.condition)).toEqual(
      expect.arrayContaining(['departs-from-normal', 'pressures-meet-fast', 'swapped-between-circuits']),
    );
    // Told by running alone, by what both circuits did before, and by the valves.
    expect(bitByBit.findings.map(({ document }) => document.subject)).toEqual(
      expect.arrayContaining([
        { kind: 'sensor', circuit: 1, sensor: 'discharge-temperature' },
        { kind: 'sensor', circuit: 2, sensor: 'liquid-temperature' },
        { kind: 'sensor', circuit: 1, sensor: 'suction-pressure' },
      ]),
    );

    // The full recomputation, as the command does it.
    await database.query(
      `truncate circuit_day, circuit_result, circuit_normal, departure_day, finding_change, finding`,
    );
    expect(await new RejudgeRepository(database).mark()).toBe(0);
    await database.query(
      `insert into window_due (circuit_id, window_start, touched_at)
       select id, to_timestamp(start_s), now() - interval '1 hour' from unnest($1::int[], $2::float8[]) as w(id, start_s)`,
      [all.map(({ id }) => id), all.map((window) => window.start_s)],
    );
    await database.query('update circuit_state set owed_since = null, judged_until = null');
    await workAtOnce();
    expect(await results()).toEqual(bitByBit);

    // And the command leaves everything as it is.
    expect(await new RejudgeRepository(database).mark()).toBe(all.length);
    await database.query(`update window_due set touched_at = now() - interval '1 hour'`);
    await workAtOnce();
    expect(await results()).toEqual(bitByBit);
  }, 900_000);

  it('is what diagnoseUnit says of standing circuits and advises, from the series alone', async () => {
    const { units } = await parts.fleet.load();
    const { findings, normals } = await results();
    const standing = ['pressures-meet-fast', 'swapped-between-circuits'];
    const said = (all: readonly Finding[]) =>
      all
        .filter(({ condition }) => standing.includes(condition))
        .map(({ condition, subject, headline }) => ({ condition, subject, headline }))
        // A swap is told on both circuits.
        .sort((a, b) => placeOf(a).localeCompare(placeOf(b)));
    const placeOf = ({ condition, subject }: Pick<Finding, 'condition' | 'subject'>) =>
      `${condition} ${subjectKey(subject)}`;
    let advised = 0;
    for (const unit of units) {
      const { diagnoses, findings: found } = diagnoseUnit({
        unit: {
          ...unit,
          reporting: undefined,
          circuits: unit.circuits.map(({ entry }) => entry),
          modules: [],
        },
        altitude_m: 100,
        circuits: unit.circuits.map(({ id }) => simulated.get(id)!),
      });
      const ofUnit = new Set(
        unit.circuits.flatMap(({ id }) => [`circuit/${id}`, `normal/${id}`]).concat(`swapped/${unit.id}`),
      );
      const stored = findings.filter(({ source }) => ofUnit.has(source)).map(({ document }) => document);
      expect(differences(said(stored), said(found)), unit.key).toEqual([]);
      for (const { cause, subject, advice } of diagnoses) {
        const circuit = unit.circuits.find(
          ({ number }) => subject.kind === 'circuit' && subject.circuit === number,
        );
        if (circuit === undefined) continue;
        const { advice: kept } = normals.find(({ circuit_id }) => circuit_id === circuit.id)!;
        expect(differences(kept[cause] ?? null, advice), `${unit.key}: ${cause}`).toEqual([]);
        if (advice !== null) advised++;
      }
    }
    expect(advised).toBeGreaterThan(0);
  });

  it('is drawn with the figures that it is said with, where valves tell which sensor is whose', async () => {
    const { units } = await parts.fleet.load();
    const { findings } = await results();
    const byValve = findings.filter(({ document }) => 'lag' in (document.reasons[0]?.quantities ?? {}));
    expect(byValve.length).toBeGreaterThanOrEqual(2);
    for (const { source, document: finding } of byValve) {
      const unit = units.find(({ id }) => source === `swapped/${id}`)!;
      const sources = { series: new SeriesRepository(database) } as EvidenceSources;
      const picture = await betweenCircuits({ sources, unit, finding, now_s: Date.now() / 1000 });
      if (picture.kind !== 'valve-answers') throw new Error(picture.kind);
      const { lag, own, other, windows } = finding.reasons[0].quantities;
      const at = picture.lag_s.indexOf(lag.value);
      expect(picture.ofOwn[at]).toBeCloseTo(own.value, 2);
      expect(picture.ofOther[at]).toBeCloseTo(other.value, 2);
      expect(picture.windows).toBe(windows.value);
    }
  });

  it('is what core finds in the same windows, judged from the series and never stored', async () => {
    const { units } = await parts.fleet.load();
    const { claims } = await results();
    for (const unit of units) {
      const judged = unit.circuits.map(({ id, entry }) => {
        const series = simulated.get(id)!;
        const first = Math.floor(series.time_s[0] / 7200) * 7200;
        const count = Math.ceil((series.time_s[series.time_s.length - 1] + 1 - first) / 7200);
        return Array.from({ length: count }, (_, i) => ({
          from_s: first + 7200 * i,
          to_s: first + 7200 * (i + 1),
        })).map((window) =>
          judgeWindow({
            series: sliceSeries(series, window.from_s, window.to_s),
            refrigerant: unit.refrigerant,
            circuit: entry,
            window,
            powerLost: [],
          }),
        );
      });
      for (const [at, circuit] of unit.circuits.entries()) {
        const expected = assessCircuit({
          windows: judged[at],
          refrigerant: unit.refrigerant,
          circuit: circuit.entry,
          neighbours: judged.filter((_, other) => other !== at),
        });
        const { detail } = claims.find(({ circuit_id }) => circuit_id === circuit.id)!;
        expect(differences(detail.summary, expected.summary), `circuit ${circuit.id}`).toEqual([]);
        expect(differences(detail.hunting, expected.hunting), `circuit ${circuit.id}`).toEqual([]);
        const { rows } = await database.query<{ condition: string; urgency: string }>(
          `select condition, urgency from finding where source = $1 and ended_at is null order by 1`,
          [`circuit/${circuit.id}`],
        );
        const found = new Set(rows.map(({ condition }) => condition));
        // What a doubtful sensor disproves is not kept; what is kept, core finds too.
        for (const condition of found)
          expect(expected.findings.map((finding) => finding.condition)).toContain(condition);
      }
    }
  });
});

/** As the store has it. */
const inSinglePrecision = (series: CircuitSeries): CircuitSeries =>
  Object.fromEntries(
    Object.entries(series).map(([name, values]) => [
      name,
      name === 'time_s' ? values : (values as Float64Array).map(Math.fround),
    ]),
  ) as unknown as CircuitSeries;

/** Leaves in which two values differ, numbers by more than a part in 10,000: the store keeps single precision. */
function differences(a: unknown, b: unknown, path = ''): string[] {
  if (typeof a === 'number' && typeof b === 'number')
    return Math.abs(a - b) <= 1e-4 * Math.max(Math.abs(a), Math.abs(b)) + 1e-5 ? [] : [`${path}: ${a}, ${b}`];
  if (a === null || b === null || typeof a !== 'object' || typeof b !== 'object')
    return a === b ? [] : [`${path}: ${String(a)}, ${String(b)}`];
  const [left, right] = [a as Record<string, unknown>, b as Record<string, unknown>];
  return [...new Set([...Object.keys(left), ...Object.keys(right)])].flatMap((name) =>
    differences(left[name], right[name], `${path}.${name}`),
  );
}
