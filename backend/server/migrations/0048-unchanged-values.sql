-- How long a signal's value hardly ever stays unchanged, in what is learned of a circuit's signals, under its present name.
update circuit_state set habits = replace(habits::text, '"standsFor_s":', '"longestUnchanged_s":')::jsonb
 where habits::text like '%"standsFor_s":%';
