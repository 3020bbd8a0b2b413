-- A second factor of accounts with a password: one-time passwords by the clock (RFC 6238).

create table second_factor (
  person_id    integer primary key references person,
  secret       bytea not null,              -- as it is, since codes are computed from it
  begun_at     timestamptz not null default now(),
  confirmed_at timestamptz,                 -- null: being set up, not asked for yet
  last_step    bigint                       -- time step of the newest code that was taken; no code is taken twice
);

-- Codes for whoever has lost what makes the others. Each has 120 bits and works once.
create table recovery_code (
  code_hash bytea primary key,
  person_id integer not null references person,
  used_at   timestamptz
);
create index on recovery_code (person_id);

-- Roles whose accounts with a password must have one.
create table second_factor_rule (
  role text primary key check (role in ('reader', 'technician', 'manager', 'engineer', 'administrator'))
);

-- So that a person sees their sessions and can end one.
alter table session add column id bigint generated always as identity unique;
alter table session add column address text;
