-- Where a calendar program reads what a person has to do. The address carries a secret, of which only the SHA-256 is kept.
create table calendar_address (
  person_id   integer primary key references person,
  secret_hash bytea not null unique,
  made_at     timestamptz not null default now(),
  used_at     timestamptz
);
