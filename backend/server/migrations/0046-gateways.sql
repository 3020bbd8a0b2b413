-- Each gateway's own key: a user and a password at the broker, for the topics of its site.

create table gateway (
  id            integer generated always as identity primary key,
  site_id       integer not null references site,
  number        integer not null,            -- from 1 in its site; its user at the broker is "site.number"
  name          text not null,
  password_hash text not null,               -- as Mosquitto's password file has it
  made_by       integer references person,   -- null: on the command line
  made_by_name  text not null,
  made_at       timestamptz not null default now(),
  revoked_at    timestamptz,
  revoked_by_name text,
  connected_at  timestamptz,                 -- when the embedded broker last let it in
  unique (site_id, number)
);

-- What the embedded broker has refused, by gateway and reason. `gateway_id` null: nobody who is known.
create table broker_refusal (
  gateway_id integer references gateway,
  reason     text not null check (reason in ('other-site', 'reading', 'wrong-password', 'revoked', 'unknown-user',
                                             'no-key', 'mqtt-5')),
  count      bigint not null,
  last_at    timestamptz not null,
  detail     text not null                   -- the topic, or where it came from
);
create unique index on broker_refusal (coalesce(gateway_id, 0), reason);
