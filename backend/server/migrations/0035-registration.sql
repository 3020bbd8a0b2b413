-- Changes of the registry by people: each with its author, its reason and the date from which it holds.

-- What is not known is assumed, and said (core: registration).
alter table unit alter column commissioned_on drop not null;
alter table unit add column assumed text[] not null default '{}';
alter table site
  alter column latitude_deg drop not null,
  alter column longitude_deg drop not null,
  add column assumed text[] not null default '{}';

-- Retired: kept with all that belongs to it, judged no more, and no part of the round.
alter table unit add column retired_at timestamptz;
alter table circuit add column retired_at timestamptz;
alter table module add column retired_at timestamptz;
create trigger unit_retired after update of retired_at, assumed on unit
  for each statement execute function registry_changed();

create table registry_change (
  id         bigint generated always as identity primary key,
  changed_at timestamptz not null default clock_timestamp(),
  person_id  integer references person,      -- null: a document read in on the command line
  who        text not null,                  -- the name as it was then
  kind       text not null check (kind in ('add', 'edit', 'retire', 'bring-back', 'move', 'document')),
  site_id    integer references site,
  unit_id    integer references unit,        -- null: the site itself
  subject    text not null,                  -- as it was named then
  reason     text not null,
  holds_from timestamptz,                    -- null: it was always so
  before     jsonb,
  after      jsonb
);
create index on registry_change (unit_id, id desc);
create index on registry_change (site_id, id desc);
create trigger registry_change_is_append_only before update or delete or truncate on registry_change
  for each statement execute function refuse_rewriting();

-- What held of a circuit until a moment, so that the past is judged with what was true then. What holds now is in the
-- tables of the registry.
create table circuit_past (
  circuit_id integer not null references circuit,
  until      timestamptz not null,
  facts      jsonb not null,                 -- storage: CircuitFacts
  primary key (circuit_id, until)
);

-- Circuits whose stored readings are to be converted anew after a correction, from the oldest to the newest. Readings
-- before `done_until` are converted by what the registry says, all others still by `before`.
create table reconversion (
  circuit_id integer primary key references circuit,
  from_at    timestamptz not null,
  done_until timestamptz not null,
  before     jsonb not null,                 -- storage: FactsTimeline
  asked_at   timestamptz not null default now()
);
