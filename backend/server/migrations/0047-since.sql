-- Since when a unit's first problem is known, s since 1970: the round may be ordered by it. Null: nothing found.
alter table unit_attention add column since_s double precision;
insert into attention_due (unit_id) select id from unit;
