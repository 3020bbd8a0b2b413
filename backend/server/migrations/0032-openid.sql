-- Sign-in by OpenID Connect.

-- A sign-in at the provider that is under way, bound to its browser by a cookie of which only the hash is kept.
create table openid_attempt (
  browser_hash bytea primary key,
  state        text not null,
  nonce        text not null,
  verifier     text not null,
  return_to    text not null,
  expires_at   timestamptz not null
);
create index on openid_attempt (expires_at);

-- Who is who at a provider: by what it never gives to anybody else, not by an address that may pass to another person.
create table openid_identity (
  issuer    text not null,
  subject   text not null,
  person_id integer not null references person,
  tied_at   timestamptz not null default now(),
  primary key (issuer, subject),
  unique (issuer, person_id)
);

alter table session add column openid boolean not null default false;
