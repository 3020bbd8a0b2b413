-- Since when a module is known to the assessment: what is missing from telemetry that has only begun to come in is no
-- evidence yet.
alter table module_result add column first_judged_at timestamptz not null default now();
