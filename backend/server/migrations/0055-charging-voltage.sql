-- The voltage at which a closing began: at a self-test that which the module is charged to. Read over the whole fleet by an index alone.
alter table closing_result add column voltage_before_v real;
-- Old parts may be in TimescaleDB's column storage, where it changes a bounded number of rows unless told otherwise.
select set_config(name, '0', true) from pg_settings
 where name = 'timescaledb.max_tuples_decompressed_per_dml_transaction';
update closing_result set voltage_before_v = (detail->>'voltageBefore_V')::real
 where detail->>'voltageBefore_V' is not null;
create index closing_result_charging on closing_result (module_id, started_at) include (voltage_before_v)
 where kind = 'self-test' and voltage_before_v is not null;
