import { latenessBins } from '@coldrounds/core/telemetry';
import { rollupColumns } from './rollups.js';

/** Counts of lateness, a column for each bin; null is none, which takes no room. */
export const latenessColumns = Array.from({ length: latenessBins }, (_, bin) => `late_${bin}`);

/**
 * Tables of results that grow with time, divided as the telemetry is and kept as long: TimescaleDB hypertables or range
 * partitions, so that what is past its retention goes as whole parts.
 */
export interface ResultTable {
  name: string;
  /** Number of the migration that brings it. */
  since: number;
  time: string;
  owner: string;
  /** Weeks in one part: many parts make planning slow, few make retention coarse. */
  weeks: number;
  columns: string;
  /** Columns with an index of their own. */
  indexed?: readonly string[];
  /** The migration has left rows in a table of this name with `_undivided` after it, which move in. */
  divides?: boolean;
  /** Kept as long as readings, not as long as what is found from them. */
  retention?: 'readings';
  /** Rows carry the moment at which they are written: their part is made ahead of that (`makePartsAhead`). */
  stampedNow?: boolean;
  /** Kept by rows for ever: its values are packed already, and are read all circuits at a time. */
  packed?: boolean;
}

export const resultTables: readonly ResultTable[] = [
  {
    name: 'circuit_day',
    since: 7,
    time: 'day',
    owner: 'circuit_id',
    weeks: 4,
    // The day's judged windows, packed (core: packWindows), and their sums for lists, trends and studies.
    columns: `
      circuit_id           integer not null,
      day                  timestamptz not null,    -- 0 h UTC
      judged_at            timestamptz not null,
      windows              bytea not null,
      window_count         smallint not null,
      steady_minutes       real not null,
      superheat_mean_k     real,                    -- over the steady minutes, as the two below
      superheat_spread_k   real,
      floodback_share      real,
      starved_share        real,
      judged_minutes       real not null,           -- looked at for hunting
      hunting_minutes      real not null,
      valve_minutes        real not null,           -- observed
      valve_travel_strokes real not null,
      valve_reversals      integer not null,
      primary key (circuit_id, day)`,
  },
  {
    name: 'rollup_window',
    since: 9,
    time: 'window_start',
    owner: 'circuit_id',
    weeks: 1,
    // Two-minute summaries of a judged window, for long charts: sixty elements each, null where nothing was sent.
    columns: `
      circuit_id   integer not null,
      window_start timestamptz not null,
      samples      smallint[] not null,
      ${rollupColumns.map((name) => `${name} real[]`).join(',\n      ')},
      primary key (circuit_id, window_start)`,
  },
  {
    name: 'missing_samples',
    since: 12,
    time: 'hour',
    owner: 'circuit_id',
    weeks: 4,
    // Hours of ended windows in which fewer samples came than their even spacing promises; nothing for the others.
    columns: `
      circuit_id integer not null,
      hour       timestamptz not null,
      expected   integer not null,
      received   integer not null,
      primary key (hour, circuit_id)`,
  },
  {
    name: 'delivery_hour',
    since: 42,
    time: 'hour',
    owner: 'unit_id',
    weeks: 1,
    retention: 'readings',
    // What came of a unit: `samples` in the hour that the samples are of, all else in the hour of arrival.
    columns: `
      unit_id         integer not null,
      hour            timestamptz not null,
      samples         integer not null,      -- new time steps with suction pressure, all circuits
      messages        integer not null,
      steps           integer not null,      -- time steps of all streams
      repeats         integer not null,      -- of these, came again with nothing new
      history         integer not null,      -- of these, in messages that were kept back
      least_s         real,                  -- least lateness of a message that came at once
      history_least_s real,                  -- and of one that was kept back
      last_at         timestamptz,           -- arrival of the last message
      history_at      timestamptz,           -- of the last that was kept back, and its newest time step
      history_until   timestamptz,
      ${latenessColumns.map((name) => `${name} integer`).join(', ')},
      primary key (unit_id, hour)`,
    indexed: ['hour'],
  },
  {
    name: 'departure_day',
    since: 20,
    time: 'day',
    owner: 'circuit_id',
    weeks: 4,
    // How the day's plateaus compare with the circuit's normal, packed (core: packComparisons).
    columns: `
      circuit_id integer not null,
      day        timestamptz not null,    -- 0 h UTC
      plateaus   bytea not null,
      primary key (circuit_id, day)`,
  },
  {
    name: 'closing',
    since: 30,
    time: 'started_at',
    owner: 'module_id',
    weeks: 12,
    // One closing, finely sampled: a self-test or a real power loss. A pack is one closing; arrays keep it one row.
    columns: `
      module_id         integer not null,
      started_at        timestamptz not null,
      time_s            real[] not null,         -- from started_at
      voltage_v         real[] not null,
      current_a         real[] not null,         -- null elements where not sent
      valve_opening_pct real[] not null,
      primary key (module_id, started_at)`,
    divides: true,
  },
  {
    name: 'closing_result',
    since: 30,
    time: 'started_at',
    owner: 'module_id',
    weeks: 12,
    // One judged closing (core: ClosingJudgement).
    columns: `
      module_id     integer not null,
      started_at    timestamptz not null,
      judged_at     timestamptz not null default now(),
      kind          text not null check (kind in ('self-test', 'power-loss')),
      capacitance_f real,
      esr_ohm       real,
      temperature_k real,
      shut          boolean,                     -- null: telemetry too coarse to say
      detail        jsonb not null,
      primary key (module_id, started_at)`,
    divides: true,
  },
  {
    name: 'finding_change',
    since: 30,
    time: 'changed_at',
    owner: 'finding_id',
    weeks: 12,
    // A finding as it stood: one row when it opens and one whenever its urgency or certainty changes.
    columns: `
      finding_id bigint not null,
      changed_at timestamptz not null,
      urgency    text not null,
      certainty  text not null,
      waiting    real not null,
      document   jsonb not null,
      primary key (finding_id, changed_at)`,
    indexed: ['changed_at'],
    divides: true,
    stampedNow: true,
  },
  {
    name: 'diagnosis_change',
    since: 30,
    time: 'changed_at',
    owner: 'diagnosis_id',
    weeks: 12,
    // A diagnosis as it stood, likewise, and whenever its cause changes.
    columns: `
      diagnosis_id bigint not null,
      changed_at   timestamptz not null,
      cause        text not null,
      urgency      text not null,
      certainty    text not null,
      weight       real not null,
      waiting      real not null,
      document     jsonb not null,
      primary key (diagnosis_id, changed_at)`,
    indexed: ['changed_at'],
    divides: true,
    stampedNow: true,
  },
  {
    name: 'daily_figures',
    since: 45,
    time: 'from_day',
    owner: 'circuit_id',
    weeks: 4,
    // What studies need of a circuit's days, four weeks in a row: 28 numbers of each column (core: packDays), 1.9 kB, just
    // under what PostgreSQL would move out of the row.
    columns: `
      circuit_id integer not null,
      from_day   timestamptz not null,    -- 0 h UTC, every 28th day since the epoch
      figures    bytea not null,
      primary key (circuit_id, from_day)`,
    packed: true,
  },
];
