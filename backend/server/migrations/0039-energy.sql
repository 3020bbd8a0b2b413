-- What circuits give away in energy as long as nobody acts (core: CircuitEnergy), as of the last comparison with normal.
create table circuit_energy (
  circuit_id         integer primary key references circuit,
  told_at            timestamptz not null default now(),
  ended_at           timestamptz,            -- nothing was found any more that gives energy away; kept for what a visit saves
  energy_j_week      double precision,       -- null: a measurement is missing, the document says which
  uncertainty_j_week double precision,
  conditions         text[] not null,        -- of the open findings that it follows from
  document           jsonb not null
);

-- Visits that put something right on a circuit whose energy was told: what the circuit did before is kept, so that what
-- is saved is measured against it.
create table energy_visit (
  finding_id bigint not null,
  circuit_id integer not null references circuit,
  closed_at  timestamptz not null,
  learned    text not null,                  -- core: LearnedCircuit, as circuit_normal has it
  share      jsonb not null,                 -- share given away before, against that normal, with its uncertainty
  primary key (finding_id, circuit_id)
);
create index on energy_visit (circuit_id);

-- What was saved since, interval by interval, about one a day for a year.
create table energy_saved (
  finding_id    bigint not null,
  circuit_id    integer not null,
  until_at      timestamptz not null,
  running_h     real not null,
  energy_j      double precision not null,
  uncertainty_j double precision not null,
  primary key (finding_id, circuit_id, until_at),
  foreign key (finding_id, circuit_id) references energy_visit
);

-- Left for money, which now follows from circuit_energy and the site's price where it is read.
alter table unit_attention drop column waiting_cost;
