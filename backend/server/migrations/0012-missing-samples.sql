-- Hours in which fewer samples came than the sampling of the circuit promises: the table missing_samples is made by
-- storage/result-tables.ts right after this file, divided by time.

-- Changes of findings that are past their retention are looked for by time.
create index finding_change_time on finding_change (changed_at);
