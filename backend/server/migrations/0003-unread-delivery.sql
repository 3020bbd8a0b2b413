-- Which delivery of the broker brought the message: a redelivery after a crash carries the same, so that what could
-- not be read is kept once, while the same bytes sent twice are kept twice.
alter table unread_message add column delivery text;
