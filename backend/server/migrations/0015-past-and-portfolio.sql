-- When judging began: of an earlier moment no round is known. Kept where the round's state is, set once.
alter table round_state add column judging_since timestamptz;
update round_state set judging_since = least(
  (select min(judged_at) from circuit_result),
  (select min(first_judged_at) from module_result),
  (select min(opened_at) from finding));

create function judging_began() returns trigger language plpgsql as $$
begin
  update round_state set judging_since = now() where judging_since is null;
  return null;
end $$;
create trigger circuit_first_assessed after insert on circuit_result
  for each statement execute function judging_began();
create trigger module_first_assessed after insert on module_result
  for each statement execute function judging_began();
create trigger finding_first_opened after insert on finding
  for each statement execute function judging_began();

-- Since when a unit is in the registry, so that a past round does not list what came later; null: from before this was kept.
alter table unit add column added_at timestamptz;
alter table unit alter column added_at set default now();

-- What changed since a moment.
create index finding_ended on finding (ended_at) where ended_at is not null;
create index finding_change_at on finding_change (changed_at);

-- Whether a module has lately been seen to shut its valve on stored energy.
alter table module_result add column proven boolean
  generated always as (detail #>> '{proof,state}' = 'proven') stored;
