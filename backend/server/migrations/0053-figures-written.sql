-- By which transaction days of a circuit were written last, so that who keeps figures in memory reads again what has changed
-- since its snapshot, and nothing else.
alter table daily_figures add column written xid8 not null default pg_current_xact_id();
create index on daily_figures (written);
