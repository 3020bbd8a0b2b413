import {
  assessModule,
  daySummary,
  packMonths,
  packWindows,
  type AgeingMonth,
  type ClosingJudgement,
  type Finding,
} from '@coldrounds/core';
import type { components } from '../../frontend/src/api/schema.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import { sensorSource } from '../../backend/server/src/findings/sensor-source.js';
import { PartitionKeeper, weeksOf, type Database } from '../../backend/server/src/storage/index.js';
import { writeDailyFigures } from '../../backend/server/src/storage/repositories/results/daily-figures.repository.js';
import { FindingRepository } from '../../backend/server/src/storage/repositories/findings/finding.repository.js';
import { ModuleRepository } from '../../backend/server/src/storage/repositories/results/module.repository.js';
import { startApi } from '../support/api-server.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { closingJudgement } from '../support/store/closing-judgement.js';
import { circuitEntry, moduleEntry, seedFleet } from '../support/store/fleet.js';

type Schemas = components['schemas'];

const day_s = 86_400;
const today = new Date().toISOString().slice(0, 10);
const said = (text: string) => ({ text, quantities: {} });

function sensorFinding(circuit: number, condition: string, sensor: string, certainty: Finding['certainty']) {
  const finding: Finding = {
    condition,
    subject: { kind: 'sensor', circuit, sensor },
    headline: said('A sensor reads wrong.'),
    reasons: [],
    explanations: [],
    separatingCheck: null,
    certainty,
    urgency: 'next-visit',
    waiting: { score: 10, sentence: said('Waiting costs.') },
    visit: [],
    hazards: [],
    firstSeen_s: 0,
    lastSeen_s: 0,
  };
  return { subjectKey: `sensor/${circuit}/${sensor}`, finding, provisional: false };
}

/** Twenty daily self-tests of a module at 308.15 K. */
const selfTests = (from: string, capacitance_F: number, esr_Ohm: number): ClosingJudgement[] =>
  Array.from({ length: 20 }, (_, day) => ({
    ...closingJudgement(Date.parse(`${from}T00:00:00Z`) / 1000 + day * day_s),
    capacitance_F,
    esr_Ohm,
  }));

const nothing = () => new Float64Array(0);
const assess = (closings: ClosingJudgement[]) => {
  const { findings: _findings, ...assessment } = assessModule({
    module: moduleEntry,
    circuits: [circuitEntry(1)],
    closings,
    readings: {
      time_s: nothing(),
      voltage_V: nothing(),
      current_A: nothing(),
      temperature_K: nothing(),
      mains: nothing(),
      health: nothing(),
    },
    now_s: Date.parse('2025-03-21T00:00:00Z') / 1000,
  });
  return assessment;
};

/** Sixty days of each circuit that has any, one like the other: hunting grows with the number of the circuit. */
async function seedDays(database: Database): Promise<void> {
  const today_s = Date.parse(today) / 1000;
  const days = Array.from({ length: 60 }, (_, ago) => today_s - ago * day_s);
  await new PartitionKeeper(database.pool).ensure(
    'daily_figures',
    weeksOf(days.map((time_s) => time_s * 1000)),
  );
  const { rows } = await database.query<{ id: number }>('select id from circuit order by id');
  const nothing = daySummary([]);
  await writeDailyFigures(
    database,
    rows.flatMap(({ id }) =>
      days.map((time_s, ago) => ({
        circuitId: id,
        day_s: time_s,
        summary: {
          ...nothing,
          ...{
            runningMinutes: 1200,
            steadyMinutes: 600,
            superheatMean_K: ago < 30 ? id : 20,
            superheatSpread_K: 0.5,
          },
          ...{ judgedMinutes: 600, huntingMinutes: 50 * id, compressorLoad_pct: ago % 2 === 0 ? 40 : 90 },
        },
      })),
    ),
  );
}

describe('the field study', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;

  const text = async (path: string) => (await fetch(base + path)).text();
  const json = async <Name extends keyof Schemas>(path: string) =>
    JSON.parse(await text(path)) as Schemas[Name];
  /** A CSV without quoted commas, as rows by column. */
  const sheet = async (path: string) => {
    const [head, ...lines] = (await text(path)).trim().split('\n');
    return lines.map((line) =>
      Object.fromEntries(head.split(',').map((name, i) => [name, line.split(',')[i]])),
    );
  };

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database, 4, 3);
    // One hour at 6 K and two at 9 K on each circuit of the first unit.
    const day_ms = 86_400_000;
    await new PartitionKeeper(database.pool).ensure(
      'circuit_day',
      weeksOf([1, 2].map((days) => Date.now() - days * day_ms)),
    );
    await database.query(
      `insert into circuit_day (circuit_id, day, judged_at, windows, window_count, steady_minutes, superheat_mean_k,
                                superheat_spread_k, floodback_share, judged_minutes, hunting_minutes, valve_minutes,
                                valve_travel_strokes, valve_reversals)
       select c.id, now() - d.ago, now(), $1, 1, d.minutes, d.mean, 0.5, d.floodback, 120, 30, 120, 1, 30
         from circuit c, (values (interval '2 days', 60, 6, 0), (interval '1 day', 120, 9, 0.3)) as d(ago, minutes, mean, floodback)
        where c.unit_id = 1`,
      [Buffer.from(packWindows([]))],
    );
    // The first circuit of the second unit has run steadily for ten minutes.
    await database.query(
      `insert into circuit_day (circuit_id, day, judged_at, windows, window_count, steady_minutes, superheat_mean_k,
                                judged_minutes, hunting_minutes, valve_minutes, valve_travel_strokes, valve_reversals)
       values (4, now() - interval '1 day', now(), $1, 1, 10, 1, 0, 0, 0, 0, 0)`,
      [Buffer.from(packWindows([]))],
    );
    await seedDays(database);
    const findings = new FindingRepository(database);
    const none = { updated: [], absent: [], ended: [] };
    await findings.apply([
      {
        unitId: 1,
        source: sensorSource({ id: 1 }),
        ...none,
        opened: [sensorFinding(1, 'sensor-bias', 'discharge-temperature', 'possible')],
      },
    ]);
    await findings.apply([
      {
        unitId: 1,
        source: sensorSource({ id: 2 }),
        ...none,
        opened: [sensorFinding(2, 'sensor-bias', 'suction-temperature', 'likely')],
      },
    ]);
    await findings.apply([
      {
        unitId: 1,
        source: sensorSource({ id: 3 }),
        ...none,
        opened: [sensorFinding(3, 'value-frozen', 'suction-pressure', 'certain')],
      },
    ]);
    const modules = new ModuleRepository(database);
    const known = assess([...selfTests('2024-03-01', 9, 0.11), ...selfTests('2025-03-01', 8.1, 0.132)]);
    const unknown = { closingReserve: null, closingTime_s: null };
    await modules.writeAssessment(1, known, unknown);
    await modules.writeAssessment(2, assess([]), unknown);
    // As it was stored before months were worked out.
    await modules.writeAssessment(3, known, unknown);
    await database.query(
      `update module_result set ageing_months = null, detail = detail - 'ageing' where module_id = 3`,
    );
    ({ running, base } = await startApi(url));
  });
  afterAll(async () => {
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('leaves out of a circuit what rests on a sensor found wrong, and says so', async () => {
    const { circuits, cohorts, tooLittle } = await json<'CircuitStudy'>('/api/study/circuits?days=28');
    // (60 x 6 + 120 x 9) / 180 = 8 K; the spread is 0.5 K within the days and (60 x 2^2 + 120 x 1^2) / 180 = 2 K^2
    // between them, together the root of 2.25 K^2; 120 x 0.3 / 180 = 0.2; 30 of 120 min; 2 strokes and 60 reversals in 240 min.
    const valve = { valveTravel_strokes_day: 12, valveReversals_day: 360 };
    expect(circuits).toHaveLength(3);
    expect(circuits[0]).toMatchObject({
      leftOut: 'none',
      superheatSpread_K: 1.5,
      huntingFraction: 0.25,
      ...valve,
    });
    expect(circuits[0].superheatMean_K).toBeCloseTo(8, 6);
    expect(circuits[0].floodbackFraction).toBeCloseTo(0.2, 6);
    const noLevel = { superheatMean_K: null, floodbackFraction: null };
    expect(circuits[1]).toMatchObject({
      leftOut: 'level',
      ...noLevel,
      superheatSpread_K: 1.5,
      huntingFraction: 0.25,
      ...valve,
    });
    expect(circuits[2]).toMatchObject({
      leftOut: 'level-and-swings',
      ...noLevel,
      superheatSpread_K: null,
      huntingFraction: null,
      ...valve,
    });
    expect(tooLittle).toBe(1);
    const [cohort] = cohorts;
    expect(cohort.circuits).toBe(3);
    expect(cohort.superheatMean_K).toMatchObject({ count: 1, p50: circuits[0].superheatMean_K, sample: [8] });
    expect(cohort.superheatSpread_K.count).toBe(2);
    expect(cohort.valveTravel_strokes_day.count).toBe(3);
  });

  it('gives a page of the circuits in the order asked for, and the cohorts of all of them', async () => {
    const page = await json<'CircuitStudy'>(
      '/api/study/circuits?limit=2&page=2&sort=superheatSpread_K&descending=true',
    );
    expect(page).toMatchObject({ total: 3, page: 2, pages: 2, leftOut: { level: 1, levelAndSwings: 1 } });
    expect(page.circuits.map(({ circuit }) => circuit)).toEqual([3]);
    expect(page.cohorts[0].circuits).toBe(3);
    expect((await json<'CircuitStudy'>('/api/study/circuits?q=no-such-site')).total).toBe(0);
  });

  it('says on the page of the unit, too, that superheat is not judged', async () => {
    const { circuits } = await json<'UnitDetail'>('/api/units/harbour/chiller-1');
    const nothing = { superheatLevel: false, superheatSwing: false, subcooling: false };
    expect(circuits.map(({ notReliable }) => notReliable)).toEqual([
      nothing,
      { ...nothing, superheatLevel: true },
      { ...nothing, superheatLevel: true, superheatSwing: true },
    ]);
  });

  it('says in the export of circuits what is not judged', async () => {
    const rows = await sheet('/api/study/circuits.csv?days=28');
    expect(rows.map(({ left_out }) => left_out)).toEqual(['none', 'level', 'level-and-swings']);
    expect(rows.map(({ superheat_mean_K }) => superheat_mean_K)).toEqual(['8', '', '']);
  });

  it('counts a circuit again as soon as the finding has ended', async () => {
    const findings = new FindingRepository(database);
    const source = sensorSource({ id: 3 });
    const [{ id }] = (await findings.openOf([source])).get(source)!;
    await findings.apply([{ unitId: 1, source, opened: [], updated: [], absent: [], ended: [id] }]);
    const { circuits } = await json<'CircuitStudy'>('/api/study/circuits?days=28');
    expect(circuits.map(({ leftOut }) => leftOut)).toEqual(['none', 'level', 'none']);
  });

  /** Up to the day on which the days were seeded. */
  const ask = (query: string) => json<'StudyAnswer'>(`/api/study/answer?${query}&to=${today}`);

  it('answers by groups, without the days on which a sensor was found wrong, and counts them', async () => {
    // Twelve circuits at 1 to 12 K; of the first unit the second circuit's superheat is not reliable, that of the third
    // was not until just now: the errors of their sensors were first seen at the beginning of time.
    const { members, known, leftOut, distribution } = await ask(
      'quantity=superheatMean_K&days=28&split=unit',
    );
    expect({ members, known, leftOut }).toEqual({
      members: 12,
      known: 10,
      leftOut: { circuits: 2, days: 56 },
    });
    expect(distribution!.map(({ group, count, units, p50 }) => [group, count, units, p50])).toEqual([
      ['harbour/chiller-1', 1, 1, 1],
      ['harbour/chiller-2', 3, 1, 5],
      ['harbour/chiller-3', 3, 1, 8],
      ['harbour/chiller-4', 3, 1, 11],
    ]);
    // Hunting does not depend on the error of the second, only on that of the third.
    expect((await ask('quantity=huntingFraction&days=28')).known).toBe(11);
  });

  it('asks of part of the fleet, of days in an operating range, and over time', async () => {
    const some = await ask(
      'quantity=huntingFraction&where=unit:harbour/chiller-2&where=unit:harbour/chiller-3',
    );
    expect(some.members).toBe(6);
    expect(some.distribution![0]).toMatchObject({ group: 'all', count: 6 });
    expect(some.distribution![0].p50).toBeCloseTo((50 * 6.5) / 600, 9);
    expect((await ask('quantity=superheatMean_K&days=60&range=compressorLoad_pct:95..')).known).toBe(0);
    expect((await ask('quantity=superheatMean_K&days=60&range=compressorLoad_pct:..50')).known).toBe(10);
    const share = await ask('picture=share&quantity=huntingFraction&over=0.5&days=60&period=week');
    expect(share.share![0].points.length).toBeGreaterThanOrEqual(9);
    // 350 of 600 minutes and more: circuits 7 to 12, of eleven.
    for (const point of share.share![0].points)
      expect(point).toMatchObject({ n: 11, units: 4, share: 6 / 11 });
    const trend = await ask(
      'picture=trend&quantity=superheatMean_K&days=60&period=week&where=unit:harbour/chiller-3',
    );
    expect(trend.trend![0].points.at(-1)!.p50).toBe(8);
    expect(trend.trend![0].points[0].p50).toBe(20);
    const sensors = await ask(
      'of=sensors&picture=share&quantity=wrong_fraction&over=0&days=7&split=sensor&period=month',
    );
    const wrong = sensors.share!.filter(({ points }) => points.some(({ share: part }) => part! > 0));
    const three = ['discharge-temperature', 'suction-pressure', 'suction-temperature'];
    expect(wrong.map(({ group }) => group)).toEqual(three);
  });

  it('draws one figure against another, with the names behind the points', async () => {
    const { scatter } = await ask('picture=scatter&quantity=huntingFraction&against=superheatMean_K&days=14');
    expect(scatter!.total).toBe(10);
    expect(scatter!.points[0]).toMatchObject({ site: 'harbour', unit: 'chiller-1', circuit: 1, x: 1 });
    const modules = await ask(
      'of=modules&picture=scatter&quantity=capacitance_fraction&against=moduleTemperature_K',
    );
    expect(modules.scatter!.points).toHaveLength(1);
    expect(modules.scatter!.points[0].y).toBeCloseTo(0.9, 5);
  });

  it('gives the same as rows, and refuses what cannot be asked', async () => {
    const rows = await sheet(
      `/api/study/answer.csv?quantity=superheatMean_K&days=28&split=climate&to=${today}`,
    );
    expect(rows).toHaveLength(12);
    expect(rows[0]).toMatchObject({
      site: 'harbour',
      unit: 'chiller-1',
      circuit: '1',
      climate: 'mild',
      superheatMean_K: '1',
    });
    expect(rows[1].superheatMean_K).toBe('');
    for (const [query, name] of [
      ['picture=trend&quantity=headroom_K', 'quantity'],
      ['picture=share', 'over'],
      ['picture=scatter', 'against'],
      ['of=modules', 'quantity'],
      ['of=modules&picture=trend&quantity=closingReserve', 'quantity'],
      ['picture=trend&quantity=lifeLeft_years', 'quantity'],
      ['split=colour', 'split'],
      ['where=colour:red', 'where'],
      ['range=load:1..2', 'range'],
    ]) {
      const response = await fetch(`${base}/api/study/answer?${query}`);
      expect(response.status).toBe(400);
      expect(((await response.json()) as Schemas['Problem']).errors![0].name).toBe(name);
    }
  });

  it('draws modules against age and against age at 25 °C', async () => {
    // Installed on 1 January 2024. The middle one of twenty tests from 1 March on comes 70 days later, that of a year
    // after that 435: in the first and the fifth quarter of a year. At 308.15 K life halves: 140 and 870 days.
    const age = await json<'BackupStudy'>('/api/study/backup-ageing?group=rating');
    expect(age.against).toBe('age');
    expect(age.leftOut).toEqual({ notYetKnown: 2, withoutTests: 1 });
    expect(age.cohorts).toHaveLength(1);
    expect(age.cohorts[0]).toMatchObject({
      cohort: '10 F, 16 V',
      modules: 1,
      newValueFrom: 'own',
      ageYears: [0.125, 1.125],
    });
    // 8.1 of 9 F and 0.132 of 0.11 Ohm, all at one temperature.
    expect(age.cohorts[0].capacitanceRatioP50[0]).toBeCloseTo(1, 6);
    expect(age.cohorts[0].capacitanceRatioP50[1]).toBeCloseTo(0.9, 6);
    expect(age.cohorts[0].esrRatioP50.at(-1)).toBeCloseTo(1.2, 6);
    const weighted = await json<'BackupStudy'>('/api/study/backup-ageing?against=weighted-age');
    expect(weighted.cohorts[0].ageYears).toEqual([0.375, 2.375]);
    // Months are stored with seven digits.
    expect(weighted.cohorts[0].meanTemperature_K).toBeCloseTo(308.15, 4);
  });

  it('exports each month of each module', async () => {
    const rows = await sheet('/api/study/backup-ageing.csv?group=climate');
    expect(rows).toHaveLength(2);
    const [, last] = rows;
    expect(last).toMatchObject({
      site: 'harbour',
      unit: 'chiller-1',
      module: '1',
      climate: 'mild',
      month: '2025-03',
      mean_temperature_K: '308.15',
      new_value_from: 'own',
      tests: '20',
    });
    expect(Number(last.age_years)).toBeCloseTo(435 / 365.25, 5);
    expect(Number(last.weighted_age_years)).toBeCloseTo(870 / 365.25, 5);
    expect(Number(last.capacitance_of_new)).toBeCloseTo(0.9, 5);
    expect(Number(last.esr_of_new)).toBeCloseTo(1.2, 5);
    // Rated 10 F and 0.1 Ohm.
    expect(Number(last.capacitance_of_rated)).toBeCloseTo(Number(last.capacitance_F) / 10, 5);
    expect(Number(last.esr_of_rated)).toBeCloseTo(Number(last.esr_Ohm) / 0.1, 5);
    expect(last.capacitance_uncertainty_F).toBe('0');
    expect(last.esr_uncertainty_Ohm).toBe('0');
  });

  it('does not burden the page of a module with its months', async () => {
    const { module } = await json<'ModuleDetail'>('/api/units/harbour/chiller-1/modules/1');
    expect(module.assessment!.baseline.from).toBe('own');
    expect(module.assessment).not.toHaveProperty('ageing');
  });
});

describe('groups compared like with like', () => {
  let server: DatabaseServer;
  let database: Database;
  let running: RunningServer;
  let base: string;
  const json = async <Name extends keyof Schemas>(path: string) =>
    (await (await fetch(base + path)).json()) as Schemas[Name];

  const units = 24;
  const today_s = Date.parse(today) / 1000;
  /** Ten weeks ago the controllers of the first eight units got other firmware. */
  const changed_s = today_s - 70 * day_s;
  /** Of unit n: loads overlap, higher in those that run 4.0. */
  const load = (n: number) => 40 + 2 * (n % 12) + (n <= 12 ? 6 : 0);

  const superheat_K = (n: number) => 12 - 0.1 * load(n) - (n <= 12 ? 1 : 0) + 0.2 * Math.sin(n * 7);
  const setpoint_K = (n: number, time_s: number) =>
    n > 12 && n <= 20 && time_s >= today_s - 40 * day_s ? 6 : 8;
  const month0 = new Date();
  /** The first of the month that lies so many months back. */
  const monthsAgo_s = (months: number) =>
    Date.UTC(month0.getUTCFullYear(), month0.getUTCMonth() - months) / 1000;

  beforeAll(async () => {
    server = await startDatabaseServer();
    const url = await server.newDatabase();
    database = await openMigrated(url);
    await seedFleet(database, units, 1);
    await database.query(`update unit set controller_firmware = '4.0' where id <= 12`);
    const days = Array.from({ length: 160 }, (_, ago) => today_s - ago * day_s);
    await new PartitionKeeper(database.pool).ensure(
      'daily_figures',
      weeksOf(days.map((time_s) => time_s * 1000)),
    );
    const nothing = daySummary([]);
    await writeDailyFigures(
      database,
      Array.from({ length: units }, (_, place) => place + 1).flatMap((id) =>
        days.map((time_s) => ({
          circuitId: id,
          day_s: time_s,
          summary: {
            ...nothing,
            ...{ runningMinutes: 1200, steadyMinutes: 600, judgedMinutes: 600, compressorLoad_pct: load(id) },
            // All hunt 60 min less since; those with the change 120 min less again.
            huntingMinutes: 300 + id - (time_s < changed_s ? 0 : 60 + (id <= 8 ? 120 : 0)),
            // Forty days ago the setpoint of units 13 to 20 went from 8 to 6 K: with it they starve less.
            setpointOffset_K: superheat_K(id) - setpoint_K(id, time_s),
            starvedFraction: 0.3 + id / 1000 - (setpoint_K(id, time_s) < 7 ? 0.05 : 0),
            ...{ valveMinutes: 1440, valveTravel_strokes: 2 * id, valveReversals: 400 },
            // A tenth of a kelvin less for each percent of load, and 1 K less with 4.0.
            ...{
              superheatMean_K: superheat_K(id),
              superheatSpread_K: 1,
            },
          },
        })),
      ),
    );
    await database.query(
      `insert into registry_change (who, kind, unit_id, subject, reason, holds_from, before, after)
       select 'somebody', 'edit', id, key, 'new firmware', to_timestamp($1), '{"controllerFirmware": "3.9"}', '{"controllerFirmware": "4.0"}'
         from unit where id <= 8`,
      [changed_s],
    );
    await database.query(
      `with who as (insert into person (name, role, invented) values ('somebody', 'reader', true) returning id)
       insert into decision (finding_id, unit_id, kind, person_id, version, document, finding, decided_at)
       select 1, 21, 'close', id, 1, '{"seen": {"kind": "nothing"}, "parts": ["Suction sensor"]}', '{"subject": {}}', to_timestamp($1)
         from who`,
      [changed_s],
    );
    // Modules seen from half a year on; every second of the first twelve falls under 80 % of new at two years.
    const months = (id: number) =>
      Array.from({ length: 30 }, (_, k) => ({
        month_s: monthsAgo_s(29 - k),
        age_d: 182 + 30.4375 * k,
        weightedAge_d: null,
        meanTemperature_K: id <= 12 ? 308 : 298,
        capacitance_F: id <= 12 && id % 2 === 0 && 182 + 30.4375 * k >= 730 ? 7.5 : 9.5,
        esr_Ohm: 0.1,
        tests: 20,
      }));
    for (let id = 1; id <= units; id++)
      await database.query(
        'insert into module_result (module_id, baseline, ageing_months, closing_time_s, detail) values ($1, $2, $3, $4, $5)',
        [
          id,
          { capacitance_F: 10, esr_Ohm: 0.1, from: 'own', tests: 20 },
          Buffer.from(packMonths(months(id) as AgeingMonth[])),
          8 + id / 100,
          { ageing: months(id) },
        ],
      );
    ({ running, base } = await startApi(url));
  });
  afterAll(async () => {
    await running?.stop();
    await database?.close();
    await server?.stop();
  });

  it('differ by what is theirs, and not by what load makes of it', async () => {
    const found = await json<'StudyComparison'>(
      `/api/study/comparison?quantity=superheatMean_K&days=28&split=firmware&first=4.0&second=1.0&to=${today}`,
    );
    expect(found).toMatchObject({ notTold: null, units: [12, 12], withoutFigure: 0 });
    // 1 K by firmware, 0.6 K by load.
    expect(found.crude).toBeLessThan(-1.5);
    const { estimate, low, high } = found.difference!;
    expect(Math.abs(estimate + 1)).toBeLessThan(0.25);
    expect(low).toBeLessThan(-1);
    expect(high).toBeGreaterThan(-1);
    const balance = found.balance.find(({ name }) => name === 'compressorLoad_pct')!;
    expect(balance.before).toBeGreaterThan(0.5);
    expect(Math.abs(balance.after!)).toBeLessThan(0.05);
    expect(found.adjustedFor).toContain('compressorLoad_pct');
    expect(found.adjustedFor).not.toContain('firmware');
  });

  it('say nothing where there is nobody to compare with', async () => {
    const found = await json<'StudyComparison'>(
      `/api/study/comparison?quantity=superheatMean_K&split=firmware&first=4.0&second=9.9`,
    );
    expect(found).toMatchObject({ difference: null, notTold: 'too-few', units: [0, 0] });
  });

  it('show what a change did, beside what befell all of them', async () => {
    const found = await json<'StudyChangeEffect'>(
      `/api/study/change-effect?quantity=huntingFraction&days=150&change=firmware&to=${today}`,
    );
    expect(found).toMatchObject({ changes: 8, weeks: 1, units: [8, 16], words: ['4.0'] });
    expect(found.effect!.estimate).toBeCloseTo(-0.2, 5);
    expect(found.othersBy).toBeCloseTo(-0.1, 5);
    expect(found.changedBy).toBeCloseTo(-0.3, 5);
    expect(found.earlier!.estimate).toBeCloseTo(0, 6);
    const other = await json<'StudyChangeEffect'>(
      `/api/study/change-effect?quantity=huntingFraction&days=150&change=valve&to=${today}`,
    );
    expect(other).toMatchObject({ effect: null, notTold: 'too-few', changes: 0 });
  });

  it('show what a change of the setpoint did, found in telemetry, and of the registry and of parts', async () => {
    const asked = (query: string) =>
      json<'StudyChangeEffect'>(`/api/study/change-effect?days=150&to=${today}&${query}`);
    const found = await asked('quantity=starvedFraction&change=setpoint&became=lowered&span=21');
    expect(found).toMatchObject({ changes: 8, weeks: 1, units: [8, 16], words: ['lowered'] });
    expect(found.effect!.estimate).toBeCloseTo(-0.05, 5);
    expect(found.othersBy).toBeCloseTo(0, 6);
    expect((await asked('quantity=starvedFraction&change=setpoint&became=raised')).changes).toBe(0);
    const registry = await asked('quantity=huntingFraction&change=registry');
    expect(registry).toMatchObject({ changes: 8, words: ['controller firmware'] });
    expect(registry.effect!.estimate).toBeCloseTo(-0.2, 5);
    const part = await asked('quantity=huntingFraction&change=part&became=suction sensor');
    expect(part).toMatchObject({ changes: 1, notTold: 'too-few', words: ['suction sensor'] });
  });

  it('show what another charging voltage did to modules, found in their self-tests', async () => {
    const asked = (query: string) =>
      json<'StudyChangeEffect'>(`/api/study/change-effect?days=300&to=${today}&change=charging&${query}`);
    const { rows: modules } = await database.query<{ id: number }>('select id from module order by id');
    const repository = new ModuleRepository(database);
    const weeks = Array.from({ length: 40 }, (_, ago) => Date.parse(today) / 1000 - (280 - 7 * ago) * day_s);
    await new PartitionKeeper(database.pool).ensure(
      'closing_result',
      weeksOf(weeks.map((time_s) => time_s * 1000)),
    );
    for (const [at, { id }] of modules.entries())
      await repository.writeClosings(
        id,
        weeks.map((time_s, week) => ({
          ...closingJudgement(time_s),
          kind: 'self-test' as const,
          voltageBefore_V: (at < 6 && week >= 20 ? 0.9 : 0.97) * moduleEntry.ratedVoltage_V,
        })),
      );
    const found = await asked('of=modules&quantity=moduleTemperature_K');
    expect(found).toMatchObject({ changes: 6, weeks: 1, words: ['lowered'] });
    expect((await asked('of=modules&quantity=moduleTemperature_K&became=raised')).changes).toBe(0);
    expect((await asked('of=circuits&quantity=huntingFraction')).changes).toBe(0);
  });

  it('show modules over time, by calendar months with how many are behind each', async () => {
    const year = `of=modules&days=365&to=${today}`;
    const { trend } = await json<'StudyAnswer'>(
      `/api/study/answer?${year}&picture=trend&quantity=capacitance_fraction`,
    );
    const { points } = trend![0];
    expect(points).toHaveLength(13);
    for (const point of points) expect(point).toMatchObject({ n: 24, units: 24, p75: 0.95 });
    expect(points.at(-1)!.from.slice(8, 10)).toBe('01');
    const { share } = await json<'StudyAnswer'>(
      `/api/study/answer?of=modules&days=860&to=${today}&picture=share&quantity=esr_fraction&over=0.5&split=climate`,
    );
    expect(share![0].points.at(-1)).toMatchObject({ n: 24, share: 1 });
    // As of a day before the last month only what was known then counts.
    const then = new Date(1000 * (monthsAgo_s(14) - day_s)).toISOString().slice(0, 10);
    const past = await json<'StudyAnswer'>(
      `/api/study/answer?of=modules&quantity=moduleAge_years&to=${then}`,
    );
    expect(past.distribution![0].p50).toBeCloseTo((182 + 30.4375 * 14) / 365.25, 5);
  });

  it('show how valves wear by size and duty, and the years left with an interval', async () => {
    const found = await json<'ValveWearStudy'>('/api/study/wear?days=28');
    expect(found).toMatchObject({ circuits: 24, observed: 24 });
    const [size] = found.sizes;
    expect(size).toMatchObject({ duty: null, circuits: 24, units: 24 });
    const { travel, life, left, leftMedian } = size;
    // 2 to 48 full strokes a day: the median is that of 25, of the life of the registry or the assumed one.
    const rated = circuitEntry(1).valve.ratedLife?.fullStrokes ?? 200_000;
    expect(travel.p50).toBeCloseTo((25 * 365.25) / rated, 6);
    expect(life.p90!).toBeGreaterThan(life.p50!);
    expect(left.count).toBeGreaterThan(0);
    expect(leftMedian!.low).toBeLessThan(leftMedian!.estimate);
    expect(leftMedian!.high).toBeGreaterThan(leftMedian!.estimate);
    expect(found.duties.map(({ duty, circuits }) => [duty, circuits])).toEqual([['16 h a day and more', 24]]);
    const csv = await (await fetch(`${base}/api/study/wear.csv?days=28`)).text();
    expect(csv.trim().split('\n')).toHaveLength(25);
  });

  it('show how long modules last, by climate or by temperature, and how many fall under the limit', async () => {
    const found = await json<'StudySurvival'>('/api/study/survival?split=temperature');
    expect(found.modules).toBe(24);
    expect(found.groups.map(({ group, modules }) => [group, modules])).toEqual([
      ['coolest third', 8],
      ['middle third', 8],
      ['warmest third', 8],
    ]);
    expect(found.groups.map(({ failures }) => failures).reduce((sum, failures) => sum + failures, 0)).toBe(6);
    expect(found.difference!.degreesOfFreedom).toBe(2);
    const [all] = (await json<'StudySurvival'>('/api/study/survival')).groups;
    // 6 of 24 at the first month from two years on.
    expect(all.steps).toHaveLength(1);
    expect(all.steps[0]).toMatchObject({ atRisk: 24, failures: 6, survival: 0.75 });
    expect(all.steps[0].age_years).toBeCloseTo((182 + 30.4375 * 19) / 365.25, 6);
    expect(found.coming).toHaveLength(4);
  });

  it('place each circuit among its like', async () => {
    const { circuits } = await json<'UnitPlaces'>('/api/units/harbour/chiller-24/places');
    const hunting = circuits[0].quantities.find(({ quantity }) => quantity === 'huntingFraction')!;
    expect(hunting).toMatchObject({
      others: 23,
      below: 1,
      alikeIn: ['valve size', 'refrigerant', 'condenser'],
    });
    const headroom = circuits[0].quantities.find(({ quantity }) => quantity === 'headroom_K')!;
    expect(headroom).toMatchObject({ value: null, below: null, others: 0 });
    const { modules } = await json<'UnitPlaces'>('/api/units/harbour/chiller-24/places');
    const closing = modules[0].quantities.find(({ quantity }) => quantity === 'closingTime_s')!;
    expect(closing).toMatchObject({ others: 23, below: 1 });
    expect(closing.value).toBeCloseTo(8.24, 5);
    const esr = modules[0].quantities.find(({ quantity }) => quantity === 'esr_fraction')!;
    expect(esr).toMatchObject({ others: 23, below: 0, equal: 1 });
  });
});
