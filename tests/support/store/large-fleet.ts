import {
  emptyCircuitSeries,
  judgeWindow,
  packMonths,
  packWindows,
  subjectKey,
  type AgeingMonth,
  type Finding,
  type Urgency,
} from '@coldrounds/core';
import { type Database, PartitionKeeper, weeksOf } from '../../../backend/server/src/storage/index.js';
import { circuitEntry, moduleEntry } from './fleet.js';

/** Mulberry32: a small generator with a seed, so that every run has the same fleet. */
function generator(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const perSite = 20;
const refrigerants = ['R134a', 'R410A', 'R32', 'R513A', 'R1234ze(E)'];
const climates = ['hot', 'mild', 'cold', 'coastal'];
const kinds: [condition: string, on: 'circuit' | 'module', headline: string][] = [
  ['floodback-risk', 'circuit', 'Superheat falls below the floodback limit for {share} of the steady time.'],
  ['hunting', 'circuit', 'Superheat swings by {level} with a period of {period}.'],
  ['over-superheat', 'circuit', 'Superheat is {level} higher than the evaporator needs.'],
  ['reserve-low', 'module', 'The closing reserve falls below {ratio} in about {period}.'],
  ['valve-wear', 'circuit', 'The valve reverses about {count} times a day.'],
];

/** A finding of the size that real ones have, with numbers of its own. */
function invented(random: () => number, now_s: number): Finding {
  const [condition, on, headline] = kinds[Math.floor(random() * kinds.length)];
  const quantities = () => ({
    level: { value: random() * 8, kind: 'temperature-difference' as const, uncertainty: random() },
    period: { value: 60 + random() * 900, kind: 'duration' as const },
    share: { value: random(), kind: 'share' as const },
    ratio: { value: random() * 2, kind: 'ratio' as const },
    count: { value: Math.round(random() * 9000), kind: 'count' as const },
  });
  const say = (text: string) => ({ text, quantities: quantities() });
  const urgency: Urgency = (['today', 'this-week', 'next-visit', 'watch'] as const)[
    Math.floor(random() ** 0.6 * 4)
  ];
  const first_s = now_s - random() * 28 * 86_400;
  return {
    condition,
    subject:
      on === 'circuit' ? { kind: 'circuit', circuit: random() < 0.5 ? 1 : 2 } : { kind: 'module', module: 1 },
    headline: say(headline),
    reasons: [
      say('In {count} windows the level was {level}, at {share} of the load seen in the last four weeks.'),
      say('The swing has a period of {period}, the same on every day that it was seen.'),
      say('Neighbouring circuits with the same valve show {level} less over the same weeks.'),
    ],
    explanations: ['control loop tuned too hard', 'valve too large for the duty', 'load swings first'].map(
      (cause, index) => ({
        cause,
        weight: [0.6, 0.3, 0.1][index],
        supports: [say('The period of {period} is what such a cause gives.')],
        contradicts: index === 0 ? [] : [say('At {share} of the load it was not seen.')],
      }),
    ),
    separatingCheck: say('Hold the opening for three periods and watch whether superheat still swings.'),
    certainty: (['certain', 'likely', 'possible'] as const)[Math.floor(random() * 3)],
    urgency,
    waiting: {
      score: Math.round(random() * 1e4) / 100,
      sentence: say('Waiting costs {share} of the capacity.'),
    },
    visit: [say('Bring the controller’s cable and the valve’s data sheet.')],
    hazards: ['pressure'],
    firstSeen_s: first_s,
    lastSeen_s: first_s + random() * (now_s - first_s),
  };
}

export interface LargeFleet {
  units: number;
  seed?: number;
  /** Units with 30 days of two-minute summaries behind them; all others have one day in steps of 12 minutes. */
  charted?: number;
}

/**
 * An invented fleet put straight into the tables: units of two circuits and one module, 20 at a site, two in three of
 * them with one to three findings, each circuit with a newest reading, the summaries of a day and four weeks of results.
 */
export async function seedLargeFleet(database: Database, options: LargeFleet): Promise<void> {
  const { units, seed = 1, charted = 1 } = options;
  await seedRegistry(database, units);
  await seedFindings(database, units, seed);
  await seedSeries(database, charted);
  await seedStudy(database, charted);
  await database.query('analyze');
}

async function seedRegistry(database: Database, units: number): Promise<void> {
  await database.query(
    `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
     select 'site-' || n, 'Site ' || n, 100, 45, 9, 'Europe/Rome', ($2::text[])[1 + n % 4]
       from generate_series(1, $1::int) as n`,
    [Math.ceil(units / perSite), climates],
  );
  await database.query(
    `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
     select s.id, 'chiller-' || n, 'Chiller ' || n, ($3::text[])[1 + n % 5], 100000 + n * 7919 % 900000, 'air', '2023-04-01',
            '3.' || n % 4
       from generate_series(1, $1::int) as n join site s on s.key = 'site-' || (1 + (n - 1) / $2::int)`,
    [units, perSite, refrigerants],
  );
  for (const number of [1, 2])
    await database.query(
      'insert into circuit (unit_id, number, entry) select id, $1, $2 from unit order by id',
      [number, circuitEntry(number)],
    );
  await database.query('insert into module (unit_id, number, entry) select id, 1, $1 from unit order by id', [
    moduleEntry,
  ]);
}

async function seedFindings(database: Database, units: number, seed: number): Promise<void> {
  const random = generator(seed);
  const now_s = Date.now() / 1000;
  const { rows } = await database.query<{ id: number }>('select id from unit order by id limit $1', [units]);
  const found = rows.flatMap(({ id }) => {
    const many = random() < 1 / 3 ? 0 : 1 + Math.floor(random() * 3);
    const own = new Map<string, Finding>();
    for (let n = 0; n < many; n++) {
      const finding = invented(random, now_s);
      own.set(`${subjectKey(finding.subject)} ${finding.condition}`, finding);
    }
    return [...own.values()].map((finding) => ({ id, finding }));
  });
  await new PartitionKeeper(database.pool).ensure(
    'finding_change',
    weeksOf(found.map(({ finding }) => finding.firstSeen_s * 1000)),
  );
  for (let from = 0; from < found.length; from += 1000) {
    const part = found.slice(from, from + 1000);
    await database.query(
      `with opened as (
         insert into finding (unit_id, subject_key, condition, urgency, certainty, waiting, document, opened_at, source)
         select f.unit_id, f.subject, d->>'condition', d->>'urgency', d->>'certainty', (d #>> '{waiting,score}')::real, d,
                to_timestamp((d->>'firstSeen_s')::float8), f.subject
           from unnest($1::int[], $2::text[], $3::jsonb[]) as f(unit_id, subject, d)
         returning id, opened_at, urgency, certainty, waiting, document)
       insert into finding_change (finding_id, changed_at, urgency, certainty, waiting, document) select * from opened`,
      [
        part.map(({ id }) => id),
        part.map(({ finding }) => subjectKey(finding.subject)),
        part.map(({ finding }) => JSON.stringify(finding)),
      ],
    );
  }
}

async function seedSeries(database: Database, charted: number): Promise<void> {
  const now_ms = Date.now();
  await new PartitionKeeper(database.pool).ensure(
    'reading',
    weeksOf(Float64Array.of(now_ms - 86_400_000, now_ms)),
  );
  // The charted units have a day of readings, all others the newest one.
  await database.query(
    `insert into reading (circuit_id, time, suction_pressure_pa, suction_temperature_k, valve_opening_pct, superheat_k)
     select c.id, date_trunc('minute', now()) - n * interval '10 seconds', 350000, 285 + sin(n / 9.0), 50, 7 + sin(n / 9.0)
       from circuit c, generate_series(0, 8639) as n where n = 0 or c.unit_id <= $1`,
    [charted],
  );
  await new PartitionKeeper(database.pool).ensure(
    'rollup_window',
    weeksOf(Array.from({ length: 32 }, (_, day) => now_ms - day * 86_400_000)),
  );
  // The charted units have thirty days of rollups, all others a point each 12 min of the last day; twenty kinds of curves.
  for (const [which, windows, every] of [
    ['c.unit_id > $1', 12, 6],
    ['c.unit_id <= $1', 360, 1],
  ] as const)
    await database.query(
      `with curve as (
         select kind, w, date_bin('2 hours', now(), timestamptz 'epoch') - w * interval '2 hours' as window_start,
                array_agg(case when place % $3 = 0 then 12::smallint end order by place) as samples,
                array_agg(case when place % $3 = 0 then (6 + 2 * sin((w * 60 - place) / 9.0 + kind))::real end order by place) as mean,
                array_agg(case when place % $3 = 0 then 4::real end order by place) as low,
                array_agg(case when place % $3 = 0 then 9::real end order by place) as high,
                array_agg(case when place % $3 = 0 then (50 + 20 * cos(place / 7.0 + kind))::real end order by place) as opening
           from generate_series(0, 19) as kind, generate_series(1, $2::int) as w, generate_series(0, 59) as place group by 1, 2)
       insert into rollup_window (circuit_id, window_start, samples, superheat_mean_k, superheat_min_k, superheat_max_k, valve_opening_mean_pct)
       select c.id, window_start, samples, mean, low, high, opening from circuit c join curve on kind = c.id % 20 where ${which}`,
      [charted, windows, every],
    );
}

const day_s = 86_400;

/** Windows of one day, judged from superheat that moves a little around 6 K. */
function judgedDay(start_s: number, count: number): Uint8Array {
  const windows = Array.from({ length: count }, (_, index) => {
    const from_s = start_s + index * 7200;
    const series = emptyCircuitSeries(720);
    for (let i = 0; i < 720; i++) {
      series.time_s[i] = from_s + i * 10;
      series.suctionPressure_Pa[i] = 250_000;
      series.suctionTemperature_K[i] = 285 + 0.3 * Math.sin(i / 40);
      series.valveOpening_pct[i] = 50;
      series.dischargePressure_Pa[i] = 1_200_000;
    }
    const judgement = judgeWindow({
      series,
      refrigerant: 'R134a',
      circuit: circuitEntry(1),
      window: { from_s, to_s: from_s + 7200 },
    });
    return { start_s: from_s, judgedAt_s: from_s + 7200, judgement };
  });
  return packWindows(windows);
}

/** Four weeks of judged days, whole ones of the charted units, and a year of ageing of every module. */
async function seedStudy(database: Database, charted: number): Promise<void> {
  const today_s = Math.floor(Date.now() / 1000 / day_s) * day_s;
  const days = Array.from({ length: 28 }, (_, ago) => today_s - (ago + 1) * day_s);
  await new PartitionKeeper(database.pool).ensure(
    'circuit_day',
    weeksOf(days.map((start_s) => start_s * 1000)),
  );
  for (const whole of [true, false])
    await database.query(
      `insert into circuit_day (circuit_id, day, judged_at, windows, window_count, steady_minutes, superheat_mean_k,
                                superheat_spread_k, floodback_share, judged_minutes, hunting_minutes, valve_minutes,
                                valve_travel_strokes, valve_reversals)
       select c.id, to_timestamp(d.start_s), now(), d.windows, 12, 1200, 5 + c.id % 40 / 10.0, 0.5, 0, 1440, 30, 1440, 12, 360
         from circuit c, unnest($1::float8[], $2::bytea[]) as d(start_s, windows)
        where (c.unit_id <= $3) = $4`,
      [days, days.map((start_s) => Buffer.from(judgedDay(start_s, whole ? 12 : 1))), charted, whole],
    );
  await database.query(
    `insert into module_result (module_id, closing_reserve, closing_time_s, baseline, ageing_months, detail)
     select m.id, 1.5, 8 + m.id % 7, jsonb_build_object('from', 'own', 'capacitance_F', 10, 'esr_Ohm', 0.1), ($1::bytea[])[1 + m.id % 16],
            jsonb_build_object(
              'installedOn', '2024-01-01',
              'reserve', '{"state": "unknown", "basedOn": []}'::jsonb,
              'forecast', '{"state": "refused"}'::jsonb,
              'baseline', jsonb_build_object('from', 'own', 'capacitance_F', 10, 'esr_Ohm', 0.1),
              'reserveHistory', (select jsonb_agg(jsonb_build_object('time_s', 1.7e9 + n * 86400 + m.id, 'reserve', 3 - n / 200.0, 'tests', 1))
                                   from generate_series(1, 100) as n),
              'ageing', (select jsonb_agg(jsonb_build_object(
                            'month_s', 1.7e9 + n * 2629800, 'age_d', n * 30, 'weightedAge_d', n * 40, 'meanTemperature_K', 300,
                            'capacitance_F', 10 - n * 0.05, 'capacitanceUncertainty_F', 0.01, 'relativeCapacitance', 1 - n * 0.005,
                            'esr_Ohm', 0.1 + n * 0.001, 'esrUncertainty_Ohm', 0.001, 'relativeEsr', 1 + n * 0.01, 'tests', 4))
                           from generate_series(1, 12) as n))
       from module m`,
    [Array.from({ length: 16 }, (_, kind) => Buffer.from(packMonths(agedMonths(kind))))],
  );
}

/** Two years up to now that lose from 2 to 5 % of capacitance a year. */
function agedMonths(kind: number): AgeingMonth[] {
  const date = new Date();
  return Array.from({ length: 24 }, (_, n) => ({
    month_s: Date.UTC(date.getUTCFullYear(), date.getUTCMonth() - 23 + n) / 1000,
    age_d: 30.4375 * (n + kind),
    weightedAge_d: 40 * (n + kind),
    meanTemperature_K: 295 + kind,
    capacitance_F: 10 - n * (0.02 + 0.0015 * kind),
    capacitanceUncertainty_F: 0.01,
    esr_Ohm: 0.1 + n * 0.001,
    esrUncertainty_Ohm: 0.001,
    relativeCapacitance: 1 - n * 0.002,
    relativeEsr: 1 + n * 0.01,
    tests: 4,
  }));
}

/** Four weeks of hours in which every unit sent some 720 samples, some of them late and a few missing. */
export async function seedDeliveries(database: Database): Promise<void> {
  const now_ms = Date.now();
  const weeks = weeksOf(Array.from({ length: 29 }, (_, day) => now_ms - day * day_s * 1000));
  for (const table of ['delivery_hour', 'missing_samples'])
    await new PartitionKeeper(database.pool).ensure(table, weeks);
  await database.query(
    `insert into delivery_hour (unit_id, hour, samples, messages, steps, repeats, history, least_s, last_at, late_6, late_7, late_9)
     select u.id, h.hour, 720 - (u.id + n) % 9, 720, 760, (u.id + n) % 40, 0, 1 + u.id % 7, h.hour + interval '59 min',
            600, 100 + u.id % 50, 20 + n % 30
       from unit u, generate_series(0, 671) as n, lateral (select date_trunc('hour', now()) - n * interval '1 hour' as hour) h`,
  );
  await database.query(
    `insert into missing_samples (circuit_id, hour, expected, received)
     select c.id, date_trunc('hour', now()) - n * interval '1 hour', 360, 350 - c.id % 200
       from circuit c, generate_series(1, 671, 40) as n where c.id % 5 = 0`,
  );
  await database.query(
    'insert into circuit_state (circuit_id, interval_s) select id, 10 from circuit on conflict (circuit_id) do update set interval_s = 10',
  );
  await database.query('analyze');
}
