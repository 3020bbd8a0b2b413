-- What an assessment keeps besides windows: a circuit's state, reviews of power losses, and how findings changed.

-- The state of a circuit over its last 28 days of windows (core: CircuitAssessment).
create table circuit_result (
  circuit_id   integer primary key references circuit,
  judged_at    timestamptz not null default now(),
  data_until   timestamptz,                  -- end of the newest window that went in
  sensors_until timestamptz,                 -- end of the readings that the sensors were last checked on
  detail       jsonb not null
);

-- One reviewed loss of mains (core: PowerLossReview).
create table power_loss_review (
  module_id integer not null references module,
  lost_at   timestamptz not null,
  judged_at timestamptz not null default now(),
  detail    jsonb not null,
  primary key (module_id, lost_at)
);

-- Each assessment owns the findings of its source, e.g. 'circuit/12' or 'module/3' with the store's ids: what it no
-- longer finds, it ends. A finding that was made while history was still coming in is provisional and ends at once;
-- any other must have been absent for a while, so that a condition on the edge does not flap.
alter table finding
  add column source       text not null default '',
  add column provisional  boolean not null default false,
  add column absent_count integer not null default 0,
  add column absent_since timestamptz;       -- in the time of the data
create index on finding (source) where ended_at is null;

-- A finding as it stood: one row when it opens and one whenever its urgency or certainty changes.
create table finding_change (
  finding_id bigint not null references finding,
  changed_at timestamptz not null,
  urgency    text not null,
  certainty  text not null,
  waiting    real not null,
  document   jsonb not null,
  primary key (finding_id, changed_at)
);
