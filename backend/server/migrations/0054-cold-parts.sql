-- A site's month is several numbered files where one would grow too large; an owner has one of them.
alter table cold_file add column number integer not null default 1;
drop index cold_file_place;
create unique index cold_file_place on cold_file (table_name, month, site_id, number) where not unwanted;
