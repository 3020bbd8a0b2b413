-- Compressor power, the condenser's side, and what the registry says of a unit and a site.
-- The table condenser_reading is made by storage/time-series.ts right after this file, as the other time-series tables
-- were; in a new database they all have these columns already.
alter table reading add column if not exists compressor_power_w real;

alter table unit
  add column evaporator text not null default 'dry-expansion'
    check (evaporator in ('dry-expansion', 'flooded', 'falling-film')),
  add column reversible boolean not null default false,
  add column reporting  text check (reporting in ('sampled', 'on-change'));   -- null: learned

alter table site
  add column region               text,
  add column currency             text,       -- ISO 4217
  add column energy_price_per_kwh real;
