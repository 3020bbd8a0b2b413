-- Topics that arrive without an entry in the registry: what they bring is kept for a while and read in once they are
-- registered. And the other way round: units that are registered and were never heard.

create table heard_topic (
  topic      text primary key,
  site       text not null,
  unit       text not null,
  first_at   timestamptz not null,
  last_at    timestamptz not null,
  messages   bigint not null,
  kept       integer not null,               -- in waiting_message
  kept_bytes bigint not null
);
create index on heard_topic (site, unit);

create table waiting_message (
  id          bigint generated always as identity primary key,
  site        text not null,
  unit        text not null,
  topic       text not null,
  received_at timestamptz not null,
  payload     bytea not null
);
create index on waiting_message (site, unit, id);
create index on waiting_message (topic, id);
create index on waiting_message (received_at);

-- When the first reading of a unit was stored; null: never.
alter table unit add column heard_at timestamptz;
update unit u set heard_at = now()
 where exists (select from circuit c cross join lateral (select from reading r where r.circuit_id = c.id limit 1) first
                where c.unit_id = u.id);

-- Kept where the round's order is, as a state of its own.
alter table unit_attention add column never_heard boolean not null default false;
alter table round_state add column never_heard integer not null default 0;
insert into attention_due (unit_id) select id from unit where heard_at is null;
create trigger unit_heard after update of heard_at on unit for each row
  when (old.heard_at is null and new.heard_at is not null) execute function mark_attention_of_unit();
