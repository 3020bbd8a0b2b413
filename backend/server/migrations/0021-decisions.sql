-- What people decide on findings. Findings are removed when their retention is over; decisions are kept, and so carry
-- what they need to know of the finding themselves.

create table decision (
  id         bigint generated always as identity primary key,
  finding_id bigint not null,
  unit_id    integer not null references unit,
  kind       text not null check (kind in ('hand-over', 'put-off', 'accept', 'close', 'note')),
  person_id  integer not null references person,
  decided_at timestamptz not null default clock_timestamp(),
  version    integer not null,               -- of the finding's plan after it; a note leaves it as it is
  key        uuid unique,                    -- made by the sender: the same sent twice is one decision
  document   jsonb not null,                 -- what was decided (server: decisions/decision.ts)
  finding    jsonb not null                  -- the finding as it was then: condition, subject, headline, urgency, certainty, cause
);
create index on decision (finding_id, id);
create index on decision (unit_id, id);
create index decision_closing on decision (id) where kind = 'close';

-- Where each finding stands by the newest decision that is not a note.
create table decision_state (
  finding_id  bigint primary key,
  unit_id     integer not null references unit,
  version     integer not null,
  decision_id bigint not null references decision,
  kind        text not null,
  urgency     text not null,                 -- of the finding, when it was decided
  assignee_id integer references person,
  due_at      timestamptz                    -- handed over: until then; put off or accepted: comes back then
);
create index on decision_state (unit_id);
create index on decision_state (assignee_id, due_at);
create index on decision_state (due_at) where kind in ('put-off', 'accept');
