-- The table `daily_figures` (storage/schema/result-tables.ts) comes with this migration; `npx coldrounds daily-figures`
-- fills it from the days that were judged before.

-- What could be given back of superheat, for questions over the fleet.
alter table circuit_result add column headroom_k real;
update circuit_result set headroom_k = (detail #>> '{headroom,headroom_K}')::real
 where detail->'headroom' <> 'null'::jsonb;

-- Questions that people have named and share.
create table study_question (
  id        integer generated always as identity primary key,
  name      text not null check (length(name) between 1 and 120),
  question  text not null,                   -- as its address has it
  sites     text[] not null default '{}',    -- keys of the sites that it names: shown to those who may see them
  person_id integer references person,       -- null: saved without an account, at this machine
  who       text not null,                   -- the name as it was then
  saved_at  timestamptz not null default now()
);
create index on study_question (name);
