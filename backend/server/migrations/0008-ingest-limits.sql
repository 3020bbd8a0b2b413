-- A message that may come a second time is looked for by its delivery.
create index unread_message_delivery on unread_message (delivery, received_at) where delivery is not null;
create index unread_message_reason on unread_message (reason, received_at desc);

-- What cannot be read is kept whole up to a quota of each sender, reason and day; what is over it is counted here.
create table unread_count (
  day        date not null,
  source     text not null,                  -- site/unit of the topic, or what stands for strangers
  reason     text not null,
  kept       integer not null default 0,
  kept_bytes bigint not null default 0,
  not_kept   integer not null default 0,
  last_at    timestamptz not null,
  primary key (day, source, reason)
);

-- From which moment the relative times of a delivered pack were counted, so that its second delivery changes nothing.
create table relative_pack (
  delivery    text primary key,
  digest      bytea not null,
  resolved_at timestamptz not null
);

-- Newest time that a unit's gateway has said anything of its presence.
alter table unit add column presence_at timestamptz;
update unit set presence_at = online_since;

-- Messages that the broker reports as dropped because a queue of its own was full.
create table broker_loss (
  broker   text primary key,                 -- its address, without user and password
  counter  bigint not null,                  -- as last read
  lost     bigint not null default 0,
  first_at timestamptz,
  last_at  timestamptz
);

-- Ingesters that share a subscription. One that is not heard of leaves a queue at the broker, which another takes over.
create table ingester (
  client_id    text primary key,
  shared_group text not null,
  heard_at     timestamptz not null default now(),
  taken_by     text
);
