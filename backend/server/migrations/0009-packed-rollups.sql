-- Two-minute summaries move into `rollup_window` (storage/result-tables.ts): one row per circuit and window with an array
-- per quantity, less than half the size of a row per two minutes, and divided by time. They are made again as the
-- windows are judged again from the readings.
insert into window_due (circuit_id, window_start, touched_at)
  select distinct circuit_id, date_bin('2 hours', time, timestamptz 'epoch'), now() from reading_rollup
  on conflict do nothing;
drop table reading_rollup;

-- What is past its retention is looked for by time.
create index on closing (started_at);
create index on closing_result (started_at);
create index on finding (ended_at) where ended_at is not null;
