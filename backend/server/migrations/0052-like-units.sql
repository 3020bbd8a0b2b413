-- What a circuit without a normal of its own is compared with meanwhile: what like units do.
alter table circuit_normal
  add column like_units   integer,                         -- how many; null: too few are known, or it has its own normal
  add column like_departs boolean not null default false,  -- it departs from them now
  add column like_learned text;                            -- core: LikeNormal, as JSON with a version
