-- Closings, what they showed, and the history of findings and diagnoses are divided by time as telemetry is, so that
-- what is past its retention goes as whole parts. The program makes the tables and moves the rows into them.
alter table closing rename to closing_undivided;
alter table closing_undivided rename constraint closing_pkey to closing_undivided_pkey;
alter table closing_result rename to closing_result_undivided;
alter table closing_result_undivided rename constraint closing_result_pkey to closing_result_undivided_pkey;
alter table finding_change rename to finding_change_undivided;
alter table finding_change_undivided rename constraint finding_change_pkey to finding_change_undivided_pkey;
alter table diagnosis_change rename to diagnosis_change_undivided;
alter table diagnosis_change_undivided rename constraint diagnosis_change_pkey to diagnosis_change_undivided_pkey;
