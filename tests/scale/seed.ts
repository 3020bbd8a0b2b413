import { packWindows, type KeptWindow } from '@coldrounds/core';
import type { Database } from '../../backend/server/src/storage/index.js';
import { PartitionKeeper, weeksOf } from '../../backend/server/src/storage/index.js';
import { circuitEntry, moduleEntry } from '../support/store/fleet.js';

const day_s = 86_400;
const variants = 20;

export interface SeedPlan {
  units: number;
  sites: number;
  days: number;
  /** Start of the ended window whose readings are there to be judged. */
  window_s: number;
}

/** The same fleet in every run: units of two circuits, three modules to two units, each site behind one gateway. */
export async function seedRegistry(database: Database, { units, sites }: SeedPlan): Promise<void> {
  await database.query(
    `insert into site (key, name, altitude_m, latitude_deg, longitude_deg, time_zone, climate)
     select 'site-' || s, 'Site ' || s, 50, 45, 5, 'UTC', 'mild' from generate_series(1, $1) as s`,
    [sites],
  );
  await database.query(
    `insert into unit (site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on, controller_firmware)
     select 1 + (u - 1) % $2, 'unit-' || u, 'Unit ' || u, 'R134a', 300000, 'air', '2023-04-01', '1.0'
       from generate_series(1, $1) as u`,
    [units, sites],
  );
  await database.query(
    `insert into circuit (unit_id, number, entry)
     select u.id, n, jsonb_set($1::jsonb, '{number}', to_jsonb(n)) from unit u, generate_series(1, 2) as n order by u.id, n`,
    [JSON.stringify(circuitEntry(1))],
  );
  await database.query(
    `insert into module (unit_id, number, entry)
     select u.id, n, jsonb_set($1::jsonb, '{number}', to_jsonb(n)) from unit u, generate_series(1, 2) as n
      where n = 1 or u.id % 2 = 0 order by u.id, n`,
    [JSON.stringify(moduleEntry)],
  );
}

/** One judged window of a circuit that holds its superheat, or hunts. */
function keptWindow(start_s: number, variant: number): KeptWindow {
  const hunting = variant % 10 === 0;
  const mean_K = 5 + 0.2 * variant + 0.3 * Math.sin(start_s / 9000);
  return {
    start_s,
    judgedAt_s: start_s + 7300,
    judgement: {
      from_s: start_s,
      to_s: start_s + 7200,
      sampleCount: 720,
      interval_s: 10,
      minutes: {
        standing: 0,
        starting: 0,
        steady: 110,
        changing: 10,
        stopping: 0,
        'power-lost': 0,
        silent: 0,
        reversed: 0,
        defrost: 0,
        'pump-down': 0,
      },
      superheat: {
        minutes: 110,
        samples: 660,
        mean_K,
        median_K: mean_K,
        spread_K: hunting ? 1.4 : 0.3,
        robustSpread_K: hunting ? 1.5 : 0.3,
        minimum_K: mean_K - 2,
        percentile1_K: mean_K - 1.6,
        percentile5_K: mean_K - 1.2,
        percentile95_K: mean_K + 1.2,
        uncertainty_K: 0.4,
        floodbackLimit_K: 2,
        underLimitFraction: 0,
        surelyUnderLimitFraction: 0,
        possiblyUnderLimitFraction: 0,
        underLimitExcursions: 0,
        surelyUnderLimitExcursions: 0,
        starvedLimit_K: 12,
        starvedFraction: 0,
        setpoint_K: 6,
        offset_K: mean_K - 6,
      },
      oscillation: {
        oscillating: hunting,
        period_s: hunting ? 210 : null,
        amplitude: hunting ? 1.9 : null,
        indices: hunting
          ? {
              lombScarglePower: 0.6,
              lombScargleFalseAlarm: 1e-9,
              thornhillRegularity: 8,
              miaoSeborgDecay: 0.9,
            }
          : { lombScargleFalseAlarm: 1, lombScarglePower: null },
        judgedMinutes: 110,
        huntingMinutes: hunting ? 110 : 0,
        cycles: hunting ? 31 : null,
        crest_s: hunting ? start_s + 3600 : null,
        origin: hunting ? 'not-valve-friction' : null,
        originIndices: hunting ? { deltaTau: 0.1, deltaRho: 0.02 } : {},
        partners: hunting
          ? [
              {
                signal: 'valve-opening',
                amplitude: 4,
                varianceFraction: 0.5,
                coherence: 0.9,
                lead_cycles: 0.3,
              },
              {
                signal: 'suction-pressure',
                amplitude: 3000,
                varianceFraction: 0.5,
                coherence: 0.9,
                lead_cycles: -0.4,
              },
            ]
          : [],
        shape: hunting ? { swings: 60, openingSwing_pct: 8, openingSwingScatter: 0.4 } : null,
      },
      valve: {
        minutes: 120,
        runningMinutes: 120,
        travel_strokes: hunting ? 12 : 2,
        reversals: hunting ? 130 : 40,
        mean_pct: 45,
        minimum_pct: 35,
        maximum_pct: 60,
        nearShutFraction: 0,
        nearOpenFraction: 0,
        followsSuperheat: null,
      },
      conditions: {
        compressorLoad_pct: 60 + 10 * Math.sin(start_s / 20_000),
        valveOpening_pct: 45,
        evaporatingTemperature_K: 277,
        condensingTemperature_K: 311,
        subcooling_K: 4,
        dischargeTemperature_K: 335,
        enteringWaterTemperature_K: 285,
        leavingWaterTemperature_K: 280,
        ambientTemperature_K: 300,
      },
    },
  };
}

/** Days of packed windows up to the one that is to be judged; twenty kinds of circuits. */
export async function seedDays(database: Database, { days, window_s }: SeedPlan): Promise<void> {
  const today_s = Math.floor(window_s / day_s) * day_s;
  const times = Array.from({ length: days + 1 }, (_, i) => today_s - (days - i) * day_s);
  await new PartitionKeeper(database.pool).ensure(
    'circuit_day',
    weeksOf(times.map((time_s) => time_s * 1000)),
  );
  for (const from_s of times) {
    const blobs = Array.from({ length: variants }, (_, variant) => {
      const starts = Array.from({ length: 12 }, (_, w) => from_s + 7200 * w).filter((s) => s < window_s);
      return Buffer.from(packWindows(starts.map((start_s) => keptWindow(start_s, variant))));
    });
    await database.query(
      `insert into circuit_day (circuit_id, day, judged_at, windows, window_count, steady_minutes, superheat_mean_k, superheat_spread_k,
         floodback_share, starved_share, judged_minutes, hunting_minutes, valve_minutes, valve_travel_strokes, valve_reversals)
       select c.id, to_timestamp($1), now(), b.windows, 12, 1320, 6, 0.4, 0, 0, 1320, 0, 1440, 30, 500
         from circuit c join unnest($2::bytea[]) with ordinality as b(windows, n) on b.n = 1 + c.id % $3`,
      [from_s, blobs, variants],
    );
  }
  await database.query(
    `insert into circuit_state (circuit_id, judged_until, windows_judged, assessed_at, sensors_until, sensors_settled, interval_s)
     select id, to_timestamp($1), 336, now() - interval '2 hours', to_timestamp($1), true, 10 from circuit
     on conflict (circuit_id) do nothing`,
    [window_s],
  );
}

/** The readings of one window of every circuit at 10 s, and two days of its unit's water. */
export async function seedReadings(database: Database, { window_s }: SeedPlan): Promise<void> {
  const keeper = new PartitionKeeper(database.pool);
  for (const table of ['reading', 'water_reading'] as const)
    await keeper.ensure(table, weeksOf([window_s * 1000, (window_s + 7200) * 1000]));
  const { rows } = await database.query<{ n: number }>('select max(id)::int as n from circuit');
  const step = 500;
  for (let from = 0; from < rows[0].n; from += step) {
    await database.query(
      `insert into reading (circuit_id, time, suction_pressure_pa, suction_temperature_k, valve_opening_pct, discharge_pressure_pa,
         discharge_temperature_k, liquid_temperature_k, superheat_setpoint_k, compressor_load_pct, suction_saturation_k,
         discharge_saturation_k, superheat_k, subcooling_k)
       select c, to_timestamp($1 + 10 * i), 350000 + 3000 * sin(i / (3.0 + c % 5)), 284 + 0.8 * sin(i / 3.0 + c) + 0.05 * (i % 7),
              45 + 3 * sin(i / 3.5), 1150000 + 3000 * sin(i / 40.0), 335 + sin(i / 50.0), 311 + 0.1 * sin(i / 20.0), 6,
              60 + 5 * sin(i / 90.0), 278.2, 316, 5.8, 5
         from generate_series($2::int, $3::int) as c, generate_series(0, 719) as i`,
      [window_s, from + 1, Math.min(from + step, rows[0].n)],
    );
  }
  await database.query(
    `insert into water_reading (unit_id, time, entering_temperature_k, leaving_temperature_k, ambient_temperature_k)
     select u.id, to_timestamp($1 + 60 * i), 285, 280, 300 from unit u, generate_series(0, 119) as i`,
    [window_s],
  );
  await database.query('analyze');
}

/** The end of a window for the whole fleet at once. */
export async function endWindow(database: Database, { window_s }: SeedPlan): Promise<void> {
  await database.query(
    `insert into window_due (circuit_id, window_start, touched_at)
     select id, to_timestamp($1), now() - interval '1 minute' from circuit on conflict do nothing`,
    [window_s],
  );
}
