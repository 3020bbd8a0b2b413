-- After a visit that put something right, what is normal is learned anew, once.
alter table decision_state add column learned_anew boolean not null default false;
