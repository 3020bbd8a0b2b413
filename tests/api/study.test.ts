import { assessModule, packWindows, type ClosingJudgement, type Finding } from '@coldrounds/core';
import type { components } from '../../frontend/src/api/schema.js';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { RunningServer } from '../../backend/server/src/bin/server-process.js';
import { sensorSource } from '../../backend/server/src/findings/sensor-source.js';
import { PartitionKeeper, weeksOf, type Database } from '../../backend/server/src/storage/index.js';
import { FindingRepository } from '../../backend/server/src/storage/repositories/findings/finding.repository.js';
import { ModuleRepository } from '../../backend/server/src/storage/repositories/results/module.repository.js';
import { startApi } from '../support/api-server.js';
import { type DatabaseServer, openMigrated, startDatabaseServer } from '../support/store/database.js';
import { circuitEntry, moduleEntry, seedFleet } from '../support/store/fleet.js';

type Schemas = components['schemas'];

const day_s = 86_400;
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
    startedAt_s: Date.parse(`${from}T00:00:00Z`) / 1000 + day * day_s,
    kind: 'self-test',
    kindSeen: true,
    temperature_K: 308.15,
    samples: 120,
    sampling_s: 0.05,
    capacitance_F,
    capacitanceUncertainty_F: 0.01,
    capacitanceMethod: 'least-squares',
    esr_Ohm,
    esrUncertainty_Ohm: 0.001,
    current_A: 0.5,
    drivePower_W: 8,
    voltageBefore_V: 16,
    voltageAfter_V: 15,
    voltageLowest_V: 15,
    energyUsed_J: 200,
    driveTime_s: 27.5,
    openingBefore_pct: 100,
    openingAfter_pct: 0,
    timeToShut_s: 25,
    shut: true,
    proof: true,
    energyExpected_J: 220,
    limits: [],
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
    await modules.writeAssessment(1, known, null);
    await modules.writeAssessment(2, assess([]), null);
    // As it was stored before months were worked out.
    const { ageing: _ageing, ...older } = known;
    await modules.writeAssessment(3, older as typeof known, null);
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
    expect(weighted.cohorts[0].meanTemperature_K).toBeCloseTo(308.15, 6);
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
