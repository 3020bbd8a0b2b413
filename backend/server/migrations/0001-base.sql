-- The registry, the telemetry, what the analysis found, and what could not be read.
-- Time-series tables (reading, water_reading, backup_reading) are made by storage/time-series.ts right after this
-- file: as TimescaleDB hypertables where the extension is present, as declarative range partitions where not.

create table site (
  id           integer generated always as identity primary key,
  key          text not null unique,
  name         text not null,
  altitude_m   real not null,
  latitude_deg real not null,
  longitude_deg real not null,
  time_zone    text not null,
  climate      text not null
);

create table unit (
  id                  integer generated always as identity primary key,
  site_id             integer not null references site,
  key                 text not null,
  name                text not null,
  refrigerant         text not null,
  nominal_capacity_w  real not null,
  condenser           text not null check (condenser in ('air', 'water')),
  commissioned_on     date not null,
  controller_firmware text not null,
  online              boolean,               -- null: no presence message yet
  online_since        timestamptz,
  unique (site_id, key)
);

-- `entry` is the registry's own document for the circuit (core: CircuitEntry), validated on import.
create table circuit (
  id       integer generated always as identity primary key,
  unit_id  integer not null references unit,
  number   smallint not null,
  entry    jsonb not null,
  unique (unit_id, number)
);

create table module (
  id       integer generated always as identity primary key,
  unit_id  integer not null references unit,
  number   smallint not null,
  entry    jsonb not null,                   -- core: ModuleEntry
  unique (unit_id, number)
);

-- One closing, finely sampled: a self-test or a real power loss. A pack is one closing; arrays keep it one row.
create table closing (
  module_id         integer not null references module,
  started_at        timestamptz not null,
  time_s            real[] not null,         -- from started_at
  voltage_v         real[] not null,
  current_a         real[] not null,         -- null elements where not sent
  valve_opening_pct real[] not null,
  primary key (module_id, started_at)
);

-- What could not be read, whole, with the reason.
create table unread_message (
  id          bigint generated always as identity primary key,
  received_at timestamptz not null default now(),
  topic       text not null,
  payload     bytea not null,
  reason      text not null,                 -- stable word group, e.g. 'unknown-site'
  detail      text not null                  -- a sentence for a person
);
create index on unread_message (received_at desc);

-- Windows touched by telemetry since they were last judged.
create table window_due (
  circuit_id   integer not null references circuit,
  window_start timestamptz not null,
  touched_at   timestamptz not null default now(),
  primary key (circuit_id, window_start)
);

-- Modules with telemetry or a closing since they were last assessed.
create table module_due (
  module_id  integer primary key references module,
  touched_at timestamptz not null default now()
);

-- What the analysis found in one circuit's window of 2 h. Scalars that lists and trends read are columns;
-- `detail` holds the whole judgement (core: WindowJudgement).
create table window_result (
  circuit_id            integer not null references circuit,
  window_start          timestamptz not null,
  judged_at             timestamptz not null default now(),
  sample_count          integer not null,
  steady_minutes        real not null,
  superheat_mean_k      real,
  superheat_spread_k    real,
  floodback_share       real,                -- of steady time under the floodback limit
  oscillating           boolean,             -- null: too little data
  period_s              real,
  amplitude_k           real,
  valve_travel_strokes  real,
  valve_reversals       integer,
  detail                jsonb not null,
  primary key (circuit_id, window_start)
);

-- Two-minute summaries of a judged window, for long charts.
create table reading_rollup (
  circuit_id               integer not null references circuit,
  time                     timestamptz not null,
  samples                  smallint not null,
  superheat_mean_k         real, superheat_min_k real, superheat_max_k real,
  subcooling_mean_k        real,
  valve_opening_mean_pct   real, valve_opening_min_pct real, valve_opening_max_pct real,
  suction_pressure_mean_pa real, suction_temperature_mean_k real,
  discharge_pressure_mean_pa real, discharge_temperature_mean_k real, liquid_temperature_mean_k real,
  superheat_setpoint_mean_k real, compressor_load_mean_pct real,
  primary key (circuit_id, time)
);

-- One judged closing (core: ClosingJudgement).
create table closing_result (
  module_id     integer not null references module,
  started_at    timestamptz not null,
  judged_at     timestamptz not null default now(),
  kind          text not null check (kind in ('self-test', 'power-loss')),
  capacitance_f real,
  esr_ohm       real,
  temperature_k real,
  shut          boolean,                     -- null: telemetry too coarse to say
  detail        jsonb not null,
  primary key (module_id, started_at)
);

-- The state of a module as of its last telemetry (core: ModuleAssessment).
create table module_result (
  module_id      integer primary key references module,
  judged_at      timestamptz not null default now(),
  closing_reserve real,                      -- null: unproven or unknown
  detail         jsonb not null
);

-- Findings, open (ended_at is null) or past. At most one open finding per subject and condition.
create table finding (
  id          bigint generated always as identity primary key,
  unit_id     integer not null references unit,
  subject_key text not null,                 -- 'circuit/1', 'sensor/1/suction-pressure', 'module/1', 'unit'
  condition   text not null,
  urgency     text not null check (urgency in ('today', 'this-week', 'next-visit', 'watch')),
  certainty   text not null check (certainty in ('certain', 'likely', 'possible')),
  waiting     real not null,                 -- waiting.score, for ordering
  document    jsonb not null,                -- core: Finding
  opened_at   timestamptz not null default now(),
  updated_at  timestamptz not null default now(),
  ended_at    timestamptz
);
create unique index finding_open on finding (unit_id, subject_key, condition) where ended_at is null;
create index on finding (unit_id, opened_at);
