-- Loading, failed and settled are states of each circuit and each module, never of the fleet. An assessor takes work by
-- writing a lease into the state, in sets; a lease that has run out is taken over by whoever lives.
create table circuit_state (
  circuit_id        integer primary key references circuit,
  judged_until      timestamptz,               -- end of the newest judged window
  windows_judged    integer not null default 0,
  interval_s        real,                      -- usual spacing of its readings, as last judged
  running_judged_at timestamptz,               -- when the window that has not ended was last judged
  owed_since        timestamptz,               -- windows judged that the findings do not know yet
  assess_from       timestamptz,               -- not before this
  assessed_at       timestamptz,
  sensors_until     timestamptz,               -- end of the readings that the sensors were last checked on
  sensors_settled   boolean not null default false, -- checked since all history had come
  lease             text,
  leased_until      timestamptz,
  attempts          smallint not null default 0,    -- in vain, since the last success
  not_before        timestamptz,
  failure           text,
  failed_at         timestamptz
) with (fillfactor = 60);

create table module_state (
  module_id    integer primary key references module,
  assessed_at  timestamptz,
  lease        text,
  leased_until timestamptz,
  attempts     smallint not null default 0,
  not_before   timestamptz,
  failure      text,
  failed_at    timestamptz
) with (fillfactor = 60);

-- A window or closing on which the judgement itself fails: kept with the reason, so that the rest goes on. Telemetry
-- that touches it again makes it due again.
create table not_judged (
  kind      text not null check (kind in ('window', 'closing')),
  owner_id  integer not null,
  starts_at timestamptz not null,
  reason    text not null,
  failed_at timestamptz not null default now(),
  primary key (kind, owner_id, starts_at)
);

-- Closings that are not judged yet.
create table closing_due (
  module_id  integer not null references module,
  started_at timestamptz not null,
  primary key (module_id, started_at)
);
insert into closing_due
  select module_id, started_at from closing c
   where not exists (select from closing_result r where r.module_id = c.module_id and r.started_at = c.started_at);

-- A module has news where a closing came or its mains were seen gone: then it is assessed at once.
alter table module_due add column news_at timestamptz;
update module_due set news_at = touched_at;

-- Work of the fleet that one process does at a time, such as looking for silent units.
create table periodic_work (
  name    text primary key,
  next_at timestamptz not null
);

-- What every valve does in a day, for comparison across the fleet.
alter table circuit_result
  add column travel_strokes_per_day real,
  add column reversals_per_day real;
update circuit_result set travel_strokes_per_day = (detail->'wear'->>'travel_strokes_per_day')::real,
                          reversals_per_day = (detail->'wear'->>'reversals_per_day')::real
 where detail->'wear' <> 'null'::jsonb;

insert into circuit_state (circuit_id, assessed_at, sensors_until)
  select c.id, r.judged_at, r.sensors_until from circuit c left join circuit_result r on r.circuit_id = c.id;
insert into module_state (module_id, assessed_at)
  select m.id, r.judged_at from module m left join module_result r on r.module_id = m.id;
alter table circuit_result drop column sensors_until;
drop table circuit_due;

-- Judged windows move into `circuit_day` (storage/time-series.ts): one row per circuit and day, packed. They are judged
-- again from the readings.
insert into window_due (circuit_id, window_start, touched_at)
  select circuit_id, window_start, now() from window_result on conflict do nothing;
drop table window_result;
create index on window_due (window_start);
