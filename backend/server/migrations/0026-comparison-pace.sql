-- Windows that had been judged when the circuit was last compared with its normal: it is compared again after some more.
alter table circuit_normal add column compared_windows integer not null default 0;
