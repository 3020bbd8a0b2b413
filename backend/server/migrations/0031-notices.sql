-- Word that goes out: what each person wants to be told, which programs are told, and the outbox that it is sent from.

-- No row: the person is told nothing.
create table notice_wish (
  person_id   integer primary key references person,
  digest_at   time,                          -- by the clock of time_zone; null: no digest
  digest_days smallint[] not null,           -- days of the week as ISO 8601 counts them, from 1, Monday
  alerts      boolean not null,              -- at once, when a unit needs a look today
  quiet_from  time,                          -- no alerts from then ...
  quiet_until time,                          -- ... until then, also over midnight
  time_zone   text not null,
  measures    text not null check (measures in ('si', 'inch-pound')),
  digest_on   date                           -- day of the last digest by that clock
);

create table webhook (
  id      integer generated always as identity primary key,
  name    text not null,
  address text not null,
  secret  text not null,                     -- signs what is sent, so it has to be known here
  events  text[] not null,
  active  boolean not null default true,
  made_at timestamptz not null default now()
);

-- What a recipient was last told of a unit, so that nobody is told the same twice. Alerts tell of `today` only.
create table alert_told (
  person_id integer not null references person,
  unit_id   integer not null references unit,
  problems  smallint not null,
  told_at   timestamptz not null,
  primary key (person_id, unit_id)
);
create index on alert_told (unit_id);
create table webhook_told (
  webhook_id integer not null references webhook on delete cascade,
  unit_id    integer not null references unit,
  urgency    smallint not null,              -- as in unit_attention, 3 at most: nobody is asked to do anything
  problems   smallint not null,
  told_at    timestamptz not null,           -- -infinity: it was so when the webhook was made
  primary key (webhook_id, unit_id)
);
create index on webhook_told (unit_id);

-- What is to be sent. Written with what it tells of in one transaction, sent by any process, kept a while.
create table outbox (
  id         bigint generated always as identity primary key,
  kind       text not null check (kind in ('digest', 'alert', 'test', 'event')),
  person_id  integer references person,      -- by e-mail to this person, or ...
  webhook_id integer references webhook on delete cascade, -- ... to this address
  document   jsonb not null,                 -- server: notices/mail/message.ts, notices/webhooks/event.ts
  made_at    timestamptz not null default now(),
  due_at     timestamptz not null default now(), -- not before; moved on while it is being sent and after a failure
  attempts   smallint not null default 0,
  last_error text,
  sent_at    timestamptz,
  dead_at    timestamptz,                    -- given up
  check ((person_id is null) <> (webhook_id is null))
);
create index outbox_due on outbox (due_at, id) where sent_at is null and dead_at is null;
create index outbox_dead on outbox (dead_at desc, id desc) where dead_at is not null;
create index on outbox (person_id, id desc) where person_id is not null;
create index on outbox (webhook_id, id desc) where webhook_id is not null;

-- A decision is told in its own transaction. At its end, as one that somebody else forestalled is taken back before.
create function tell_decision() returns trigger language plpgsql as $$
begin
  insert into outbox (kind, webhook_id, document)
  select 'event', w.id, jsonb_build_object('type', 'decided', 'timestamp', to_char(d.decided_at at time zone 'UTC', 'YYYY-MM-DD"T"HH24:MI:SS.MS"Z"'),
           'data', jsonb_build_object('unit', s.key || '/' || u.key, 'finding', d.finding_id::text, 'decision', d.id,
             'kind', d.kind, 'by', p.name))
    from decision d join unit u on u.id = d.unit_id join site s on s.id = u.site_id join person p on p.id = d.person_id
    cross join webhook w
   where d.id = new.id and w.active and 'decided' = any(w.events);
  return null;
end $$;
create constraint trigger decision_told after insert on decision deferrable initially deferred
  for each row execute function tell_decision();
