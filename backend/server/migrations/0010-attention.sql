-- Where every unit stands on the round, kept beside the findings, so that a page of the round is read along an index
-- and costs the same with ten units and with ten thousand.

create table unit_attention (
  unit_id   integer primary key references unit,
  site_id   integer not null,
  -- The round's order (core: rankRound), all ascending.
  urgency   smallint not null,               -- 0 today, 1 this-week, 2 next-visit, 3 watch, 4 nothing found
  waiting   double precision not null,       -- what waiting costs, negative
  findings  smallint not null,               -- how many, negative
  certainty smallint not null,               -- 0 certain, 1 likely, 2 possible, 3 nothing found
  name      text collate "C" not null,       -- {site key}/{unit key}
  silent    boolean not null,
  words     text not null                    -- what a search looks through, in lower case
);
create unique index unit_attention_order on unit_attention (urgency, waiting, findings, certainty, name);
create index unit_attention_of_site on unit_attention (site_id, urgency, waiting, findings, certainty, name);

-- Units whose findings or registry entry changed since. Only added to, so that writers of findings never wait for each
-- other; one process at a time brings `unit_attention` up to date.
create table attention_due (
  id      bigint generated always as identity primary key,
  unit_id integer not null
);
insert into attention_due (unit_id) select id from unit;

-- What changed on the round, numbered in the order of commits: who has seen number n has missed all above it.
create table round_change (
  id         bigint primary key,
  unit_id    integer not null,
  changed_at timestamptz not null default now()
);

-- Headline counts, in one row.
create table round_state (
  only_row     boolean primary key default true check (only_row),
  version      bigint not null default 0,    -- newest number of round_change
  changed_at   timestamptz not null default now(),
  units        integer not null default 0,
  circuits     integer not null default 0,
  modules      integer not null default 0,
  by_urgency   integer[] not null default '{0,0,0,0,0}',
  silent       integer not null default 0
);
insert into round_state default values;

create function mark_attention_of_findings() returns trigger language plpgsql as $$
begin
  insert into attention_due (unit_id) select distinct unit_id from touched;
  return null;
end $$;
create trigger finding_inserted after insert on finding referencing new table as touched
  for each statement execute function mark_attention_of_findings();
create trigger finding_updated after update on finding referencing new table as touched
  for each statement execute function mark_attention_of_findings();
create trigger finding_deleted after delete on finding referencing old table as touched
  for each statement execute function mark_attention_of_findings();

-- The registry's version: whoever keeps a copy of it compares this number. Presence is no part of the registry.
create table registry_version (
  only_row boolean primary key default true check (only_row),
  version  bigint not null default 0
);
insert into registry_version default values;

create function registry_changed() returns trigger language plpgsql as $$
begin
  update registry_version set version = version + 1;
  return null;
end $$;
create trigger site_changed after insert or update or delete on site
  for each statement execute function registry_changed();
create trigger unit_changed
  after insert or delete or update of site_id, key, name, refrigerant, nominal_capacity_w, condenser, commissioned_on,
    controller_firmware, evaporator, reversible, reporting on unit
  for each statement execute function registry_changed();
create trigger circuit_changed after insert or update or delete on circuit
  for each statement execute function registry_changed();
create trigger module_changed after insert or update or delete on module
  for each statement execute function registry_changed();

create function mark_attention_of_unit() returns trigger language plpgsql as $$
begin
  insert into attention_due (unit_id) values (new.id);
  return null;
end $$;
create trigger unit_added after insert on unit for each row execute function mark_attention_of_unit();
create trigger unit_renamed after update on unit for each row
  when ((old.site_id, old.key, old.name, old.refrigerant, old.controller_firmware)
        is distinct from (new.site_id, new.key, new.name, new.refrigerant, new.controller_firmware))
  execute function mark_attention_of_unit();

create function mark_attention_of_site() returns trigger language plpgsql as $$
begin
  insert into attention_due (unit_id) select id from unit where site_id = new.id;
  return null;
end $$;
create trigger site_renamed after update on site for each row
  when ((old.key, old.name, old.climate) is distinct from (new.key, new.name, new.climate))
  execute function mark_attention_of_site();

create function mark_attention_of_circuits() returns trigger language plpgsql as $$
begin
  insert into attention_due (unit_id) select distinct unit_id from touched;
  return null;
end $$;
create trigger circuit_added after insert on circuit referencing new table as touched
  for each statement execute function mark_attention_of_circuits();

-- Lists of findings, newest first, and what their words are searched in.
alter table finding add column words text
  generated always as (lower(condition || ' ' || coalesce(document #>> '{headline,text}', ''))) stored;
create index finding_newest on finding (opened_at desc, id desc);
create index finding_newest_open on finding (opened_at desc, id desc) where ended_at is null;
create index finding_open_of_unit on finding (unit_id) where ended_at is null;
create index unread_by_reason on unread_message (reason, received_at desc, id desc);
