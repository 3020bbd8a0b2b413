-- Who may do what, how they sign in, and what was done by whom.

create table person (
  id             integer generated always as identity primary key,
  name           text not null,
  email          text unique,                -- in lower case; null: one of the invented people of the demo
  role           text not null check (role in ('reader', 'technician', 'manager', 'engineer', 'administrator')),
  site_ids       integer[],                  -- null: all sites
  password_hash  text,                       -- Argon2id, as a PHC string
  invented       boolean not null default false,
  active         boolean not null default true,
  created_at     timestamptz not null default now(),
  signed_in_at   timestamptz
);

-- Of every secret that is handed out only the SHA-256 is kept: whoever reads the database cannot sign in with it.
create table session (
  token_hash bytea primary key,
  person_id  integer not null references person,
  started_at timestamptz not null default now(),
  used_at    timestamptz not null default now()
);
create index on session (person_id);

-- A browser that a person has signed in with before: failures elsewhere never keep it out.
create table known_device (
  token_hash bytea primary key,
  person_id  integer not null references person,
  used_at    timestamptz not null default now()
);

-- A link that works once: makes an account, or sets a new password of the person named.
create table invitation (
  token_hash bytea primary key,
  person_id  integer references person,
  name       text,
  email      text,
  role       text not null,
  site_ids   integer[],
  made_by    integer references person,      -- null: the server itself, for the first administrator
  made_at    timestamptz not null default now(),
  expires_at timestamptz not null,
  used_at    timestamptz
);

create table api_token (
  id         integer generated always as identity primary key,
  person_id  integer not null references person,
  name       text not null,
  token_hash bytea not null unique,
  scopes     text[] not null,
  created_at timestamptz not null default now(),
  expires_at timestamptz not null,
  used_at    timestamptz,
  revoked_at timestamptz
);
create index on api_token (person_id);

-- Who did what and when. Rows are added and never changed: the trigger refuses all else, whoever asks.
create table audit_entry (
  id        bigint generated always as identity primary key,
  at        timestamptz not null default clock_timestamp(),
  person_id integer references person,       -- null: the server, or somebody who is not known
  who       text not null,                   -- the name as it was then
  action    text not null,
  subject   text,
  detail    jsonb not null default '{}',
  address   text
);
create index on audit_entry (person_id, id desc);

create function refuse_rewriting() returns trigger language plpgsql as $$
begin
  raise exception 'The audit log cannot be changed.' using errcode = 'insufficient_privilege';
end $$;
create trigger audit_is_append_only before update or delete or truncate on audit_entry
  for each statement execute function refuse_rewriting();
