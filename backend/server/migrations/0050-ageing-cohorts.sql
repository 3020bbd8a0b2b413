-- How the backup modules of one rating age, learned once a day from those seen for long enough
-- (assessment/module/ageing-cohorts.ts). `detail` is core's CohortAgeing.
create table ageing_cohort (
  rating     text primary key,
  learned_at timestamptz not null default now(),
  detail     jsonb not null
);
