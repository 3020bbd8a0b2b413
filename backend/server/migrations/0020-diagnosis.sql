-- What each circuit does while nothing is wrong, how it departs from that, and the one diagnosis of each unit.

-- Plateaus of the day's windows, packed (core: packPlateaus); null: judged before plateaus were cut.
alter table circuit_day add column plateaus bytea;

create table circuit_normal (
  circuit_id    integer primary key references circuit,
  registered    jsonb not null,              -- what the registry says of it, as far as its normal hangs on that
  learn_from    timestamptz,                 -- learned from no time before this; null: from the first telemetry
  generation    integer not null default 0,  -- counts how often it was learned
  complete      boolean not null default false, -- learned for good: what comes later is judged against it
  seen          integer not null default 0,  -- plateaus that it is, or is going to be, learned from
  basis         bigint,                      -- checksum of these plateaus; null: not learned
  learned_from  timestamptz,
  learned_until timestamptz,
  learned       text                         -- core: LearnedCircuit, as JSON with a version; null: not learned yet
);

-- When learning was started anew, and why.
create table normal_start (
  circuit_id integer not null references circuit,
  started_at timestamptz not null default now(),
  learn_from timestamptz not null,
  reason     text not null,                  -- 'refrigerant', 'valve', 'firmware', 'evaporator', 'visit'
  detail     text not null,                  -- a sentence for a person
  primary key (circuit_id, started_at)
);

create table diagnosis (
  id          bigint generated always as identity primary key,
  unit_id     integer not null references unit,
  subject_key text not null,
  cause       text not null,
  urgency     text not null check (urgency in ('today', 'this-week', 'next-visit', 'watch')),
  certainty   text not null check (certainty in ('certain', 'likely', 'possible')),
  weight      real not null,                 -- belief in the cause, 0 to 1
  waiting     real not null,                 -- waiting.score, for ordering
  document    jsonb not null,                -- core: Diagnosis, its findings by their ids
  opened_at   timestamptz not null default now(),
  updated_at  timestamptz not null default now(),
  ended_at    timestamptz
);
create index diagnosis_open_of_unit on diagnosis (unit_id) where ended_at is null;
create index diagnosis_of_unit on diagnosis (unit_id, opened_at);
create index diagnosis_ended on diagnosis (ended_at) where ended_at is not null;

-- A diagnosis as it stood: one row when it opens and one whenever its cause, urgency or certainty changes.
create table diagnosis_change (
  diagnosis_id bigint not null references diagnosis,
  changed_at   timestamptz not null,
  cause        text not null,
  urgency      text not null,
  certainty    text not null,
  weight       real not null,
  waiting      real not null,
  document     jsonb not null,
  primary key (diagnosis_id, changed_at)
);
create index diagnosis_changed_at on diagnosis_change (changed_at);

-- The round ranks problems: diagnoses, and findings that none of them explains.
alter table unit_attention
  add column cause text,                     -- of the first problem; null: a finding that no diagnosis explains, or none
  add column weight real,
  add column waiting_cost double precision;  -- what waiting costs a week in the site's currency; null: not known
insert into attention_due (unit_id) select id from unit;
