-- What is advised on the circuit, by the cause that it would end (core: CircuitAdvice), worked out whenever it is compared.
alter table circuit_normal add column advice jsonb not null default '{}';
-- Stops are looked at and advice is worked out at the next assessment.
update circuit_normal set compared_windows = 0;
