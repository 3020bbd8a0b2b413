-- What the field study needs of a module, apart from the assessment, which is some 20 kB and slow to take apart.

alter table module_result
  add column baseline jsonb,                -- what it had when new (core: ModuleBaseline)
  add column ageing_months bytea,           -- months with a test (core: packMonths)
  add column closing_time_s real;           -- from fully open, median of the newest closings; null: not known

update module_result r set baseline = r.detail->'baseline', ageing_months = (
  select coalesce(string_agg(
           float4send((12 * (extract(year from m.at) - 1970) + extract(month from m.at) - 1)::float4)
           || float4send(coalesce((m.month->>'age_d')::float4, 'NaN'))
           || float4send(coalesce((m.month->>'weightedAge_d')::float4, 'NaN'))
           || float4send(coalesce((m.month->>'meanTemperature_K')::float4, 'NaN'))
           || float4send(coalesce((m.month->>'capacitance_F')::float4, 'NaN'))
           || float4send(coalesce((m.month->>'esr_Ohm')::float4, 'NaN')), ''::bytea order by m.at), ''::bytea)
    from (select month, to_timestamp((month->>'month_s')::float8) at time zone 'utc' as at
            from jsonb_array_elements(r.detail->'ageing') as month) as m)
 where jsonb_typeof(r.detail->'ageing') = 'array';
