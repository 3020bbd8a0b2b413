-- Circuits with a window judged since their findings were last brought up to date. Written in the same statement that
-- takes the windows off the list, so that an assessor killed between the two leaves a trace for the next.
create table circuit_due (
  circuit_id integer primary key references circuit,
  judged_at  timestamptz not null
);
