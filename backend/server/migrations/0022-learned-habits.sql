-- How a circuit's signals are sent, as two days of them showed it, where that says more than a window of two hours says
-- of itself (core: toRemember). Null: nothing to remember.

alter table circuit_state add column habits jsonb;
