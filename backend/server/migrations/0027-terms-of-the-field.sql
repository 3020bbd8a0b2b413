-- Stored findings and assessments under their present names: `supports` and `contradicts` of an explanation, fractions of
-- time, a month of ageing relative to what is rated, and what a reserve is based on. A key ends with `":`, which a text
-- inside a document never has, as its quotes are escaped.
update finding set document = replace(replace(document::text, '"speaksFor":', '"supports":'),
                                      '"speaksAgainst":', '"contradicts":')::jsonb
 where document::text like '%"speaksFor":%';
update finding_change set document = replace(replace(document::text, '"speaksFor":', '"supports":'),
                                             '"speaksAgainst":', '"contradicts":')::jsonb
 where document::text like '%"speaksFor":%';
update circuit_result
   set detail = regexp_replace(
         replace(replace(detail::text, '"speaksFor":', '"supports":'), '"speaksAgainst":', '"contradicts":'),
         '"(underLimit|surelyUnderLimit|starved|hunting|nearShut|nearOpen|covered|energy)Share":', '"\1Fraction":', 'g')::jsonb;
update module_result
   set detail = replace(replace(replace(detail::text, '"capacitanceShare":', '"relativeCapacitance":'),
                                '"esrShare":', '"relativeEsr":'), '"standsOn":', '"basedOn":')::jsonb;
