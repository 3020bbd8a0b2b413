-- Sparkplug B as a second way in: which metric of which edge node or device is which quantity of a unit, and which edge
-- nodes and devices are heard.

alter table unit add column sparkplug jsonb not null default '[]';   -- core: SparkplugPoint[]
create trigger unit_sparkplug after update of sparkplug on unit
  for each statement execute function registry_changed();

create table sparkplug_node (
  group_id  text not null,
  edge_node text not null,
  device    text not null,                  -- '': the edge node itself
  first_at  timestamptz not null,
  last_at   timestamptz not null,
  messages  bigint not null,
  rebirths  bigint not null,                -- times that its births were asked for
  alive     boolean,                        -- null: neither birth nor death came
  born_at   timestamptz,
  metrics   jsonb,                          -- of its newest birth (core: BornMetric[])
  primary key (group_id, edge_node, device)
);
create index on sparkplug_node (last_at);
