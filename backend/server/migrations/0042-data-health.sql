-- How telemetry comes: counted with each batch that is stored, by unit and hour. The table delivery_hour is made by
-- storage/schema/result-tables.ts right after this file, divided by time.

-- What a batch counted, packed (storage/delivery/tally.ts): written in the batch's own transaction, one row each, and
-- folded into delivery_hour by the minute, so that no row of an hour is written with each message of its unit.
create table delivery_tally (
  id      bigint generated always as identity primary key,
  content bytea not null
);
alter table delivery_tally alter column content set storage external;

-- How the telemetry of each unit comes, as of a moment, over the day before it.
create table unit_data_health (
  unit_id         integer primary key references unit,
  as_of           timestamptz not null,
  last_message_at timestamptz,               -- null: none was counted yet
  newest_at       timestamptz,               -- time of the newest reading of any circuit
  expected        real,                      -- time steps; null: no even interval promises any
  received        integer not null,          -- time steps with suction pressure, all circuits
  missing         integer not null,          -- of the expected ones
  messages        integer not null,
  steps           integer not null,          -- time steps of all streams
  repeats         integer not null,          -- of these, came again with nothing new
  history         integer not null,          -- of these, in messages that were kept back
  lateness_p50_s  real,
  lateness_p95_s  real,
  clock           jsonb,                     -- core: ClockOffset
  catching_up     boolean not null,          -- history is coming in
  history_until   timestamptz,               -- newest time step of history that came in
  lost            real not null              -- fraction of the expected that is missing; 1: never heard
);
-- The order in which the page of the fleet begins.
create index on unit_data_health (lost desc, repeats desc, unit_id);

-- What was learned of the signals of a circuit when its sensors were checked last (core: SignalReports), and the newest
-- values of those that superheat needs.
create table circuit_signal (
  circuit_id     integer primary key references circuit,
  checked_until  timestamptz not null,
  pressure_at    timestamptz,
  temperature_at timestamptz,
  report         jsonb not null
);

-- When a circuit came into the registry: one that is new is waited for. Null: before that was kept.
alter table circuit add column added_at timestamptz;
alter table circuit alter column added_at set default now();
