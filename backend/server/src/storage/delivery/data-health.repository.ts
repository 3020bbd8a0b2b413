import type { ClockOffset, LeastLateness } from '@coldrounds/core/telemetry';
import type { Queryable } from '../connection/database.js';
import { containing } from '../repositories/like-patterns.js';
import { latenessColumns } from '../schema/result-tables.js';

/** What came of one unit in the last day. */
export interface DayOfUnit {
  unitId: number;
  samples: number;
  messages: number;
  steps: number;
  repeats: number;
  history: number;
  /** Steps of messages that came at once, by lateness. */
  lateness: number[];
  /** Each hour in which something came. */
  hours: LeastLateness[];
  last_s: number | null;
  historyAt_s: number | null;
  historyUntil_s: number | null;
}

/** How the telemetry of a unit comes, as of a moment, over the day before it. */
export interface UnitHealth {
  unitId: number;
  asOf_s: number;
  lastMessage_s: number | null;
  newest_s: number | null;
  /** Null: no even interval promises any. */
  expected: number | null;
  received: number;
  missing: number;
  messages: number;
  steps: number;
  repeats: number;
  history: number;
  latenessP50_s: number | null;
  latenessP95_s: number | null;
  clock: ClockOffset | null;
  catchingUp: boolean;
  historyUntil_s: number | null;
  /** Fraction of the expected that is missing; 1: never heard. */
  lost: number;
}

/** A unit on the page of the fleet or of its site. */
export interface UnitHealthRow extends UnitHealth {
  site: string;
  siteName: string;
  unit: string;
  name: string;
  /** It has a finding that it sends nothing. */
  silent: boolean;
  neverHeard: boolean;
}

export type HealthOrder = 'worst' | 'name' | 'last' | 'lateness' | 'repeats' | 'clock';

export interface HealthQuery {
  /** Keys of the only sites that may be seen; null: all. */
  sites: readonly string[] | null;
  site?: string;
  words: readonly string[];
  sort: HealthOrder;
  descending: boolean;
  limit: number;
  offset: number;
}

export interface HealthTotals {
  units: number;
  silent: number;
  neverHeard: number;
  /** Units of which samples of the last day are missing. */
  incomplete: number;
  catchingUp: number;
  expected: number;
  missing: number;
  received: number;
  steps: number;
  repeats: number;
  asOf_s: number | null;
}

/** One hour of a unit: samples that came, and those known to be missing. */
export interface HourOfUnit {
  unitId: number;
  hour_s: number;
  samples: number;
  missing: number;
}

/** Hours and units for which something is counted: the whole hours of a day, the running one besides. */
const lastDay = `date_trunc('hour', now()) - interval '24 hours'`;

/** What comes first, first: longest not heard, latest, most repeated, clock furthest off. */
const orders: Record<Exclude<HealthOrder, 'worst' | 'name'>, { column: string; down: boolean }> = {
  last: { column: 'h.last_message_at', down: false },
  lateness: { column: 'h.lateness_p95_s', down: true },
  repeats: { column: 'h.repeats', down: true },
  clock: { column: `abs((h.clock->>'offset_s')::float8)`, down: true },
};

function orderOf({ sort, descending }: Pick<HealthQuery, 'sort' | 'descending'>): string {
  // As the index has it, so that a page is read along it.
  if (sort === 'worst')
    return ['h.lost desc', 'h.repeats desc', 'h.unit_id asc']
      .map((each) =>
        descending ? each.replace(/desc|asc/, (way) => (way === 'desc' ? 'asc' : 'desc')) : each,
      )
      .join(', ');
  if (sort === 'name')
    return ['s.name', 'u.name', 'u.id'].map((each) => `${each} ${descending ? 'desc' : 'asc'}`).join(', ');
  const { column, down } = orders[sort];
  return `${column} ${down === descending ? 'asc' : 'desc'} nulls last, s.name, u.name, u.id`;
}

const selectHealth = `h.unit_id as "unitId", extract(epoch from h.as_of)::float8 as "asOf_s",
  extract(epoch from h.last_message_at)::float8 as "lastMessage_s", extract(epoch from h.newest_at)::float8 as newest_s,
  h.expected, h.received, h.missing, h.messages, h.steps, h.repeats, h.history, h.lateness_p50_s as "latenessP50_s",
  h.lateness_p95_s as "latenessP95_s", h.clock, h.catching_up as "catchingUp",
  extract(epoch from h.history_until)::float8 as "historyUntil_s", h.lost, s.key as site, s.name as "siteName",
  u.key as unit, u.name, coalesce(a.silent, false) as silent, u.heard_at is null as "neverHeard"`;
const fromHealth = `unit_data_health h join unit u on u.id = h.unit_id and u.retired_at is null
  join site s on s.id = u.site_id left join unit_attention a on a.unit_id = u.id`;
const filtered = `($1::text[] is null or s.key = any($1)) and ($2::text is null or s.key = $2)
  and lower(s.name || ' ' || s.key || '/' || u.key || ' ' || u.name) like all($3::text[])`;

/** How telemetry comes, by unit: counted on its way in, summed up every minute or so. */
export class DataHealthRepository {
  constructor(private readonly database: Queryable) {}

  /** What came in the last day, of each unit that sent anything. */
  async lastDay(): Promise<DayOfUnit[]> {
    const { rows } = await this.database.query<
      Omit<DayOfUnit, 'hours'> & { live: (number | null)[]; kept: (number | null)[] }
    >(
      `select unit_id as "unitId", sum(samples)::int as samples, sum(messages)::int as messages, sum(steps)::int as steps,
              sum(repeats)::int as repeats, sum(history)::int as history,
              array[${latenessColumns.map((name) => `coalesce(sum(${name}), 0)`).join(', ')}]::int[] as lateness,
              array_agg(least_s) filter (where messages > 0) as live,
              array_agg(history_least_s) filter (where messages > 0) as kept,
              extract(epoch from max(last_at))::float8 as last_s,
              extract(epoch from max(history_at))::float8 as "historyAt_s",
              extract(epoch from max(history_until))::float8 as "historyUntil_s"
         from delivery_hour where hour >= ${lastDay} group by unit_id`,
    );
    return rows.map(({ live, kept, ...day }) => ({
      ...day,
      hours: (live ?? []).map((live_s, i) => ({ live_s, history_s: kept?.[i] ?? null })),
    }));
  }

  /** Writes how it stands; the newest moments of before stay where nothing came since. */
  async keep(units: readonly UnitHealth[]): Promise<void> {
    if (units.length === 0) return;
    const column = <Name extends keyof UnitHealth>(name: Name) => units.map((unit) => unit[name]);
    await this.database.query(
      `insert into unit_data_health as old (unit_id, as_of, last_message_at, newest_at, expected, received, missing, messages,
              steps, repeats, history, lateness_p50_s, lateness_p95_s, clock, catching_up, history_until, lost)
       select unit_id, to_timestamp(as_of), to_timestamp(last_s), to_timestamp(newest_s), expected, received, missing, messages,
              steps, repeats, history, p50, p95, clock::jsonb, catching_up, to_timestamp(history_s), lost
         from unnest($1::int[], $2::float8[], $3::float8[], $4::float8[], $5::real[], $6::int[], $7::int[], $8::int[],
                     $9::int[], $10::int[], $11::int[], $12::real[], $13::real[], $14::text[], $15::boolean[], $16::float8[],
                     $17::real[])
              as n(unit_id, as_of, last_s, newest_s, expected, received, missing, messages, steps, repeats, history, p50, p95,
                   clock, catching_up, history_s, lost)
       on conflict (unit_id) do update set as_of = excluded.as_of,
         last_message_at = coalesce(excluded.last_message_at, old.last_message_at), newest_at = excluded.newest_at,
         expected = excluded.expected, received = excluded.received, missing = excluded.missing,
         messages = excluded.messages, steps = excluded.steps, repeats = excluded.repeats, history = excluded.history,
         lateness_p50_s = excluded.lateness_p50_s, lateness_p95_s = excluded.lateness_p95_s, clock = excluded.clock,
         catching_up = excluded.catching_up, history_until = excluded.history_until, lost = excluded.lost`,
      [
        ...[column('unitId'), column('asOf_s'), column('lastMessage_s'), column('newest_s')],
        ...[column('expected'), column('received'), column('missing'), column('messages'), column('steps')],
        ...[column('repeats'), column('history'), column('latenessP50_s'), column('latenessP95_s')],
        units.map(({ clock }) => (clock === null ? null : JSON.stringify(clock))),
        ...[column('catchingUp'), column('historyUntil_s'), column('lost')],
      ],
    );
  }

  async page(query: HealthQuery): Promise<UnitHealthRow[]> {
    const { rows } = await this.database.query<UnitHealthRow>(
      `select ${selectHealth} from ${fromHealth} where ${filtered}
        order by ${orderOf(query)} limit $4 offset $5`,
      [query.sites, query.site ?? null, containing(query.words), query.limit, query.offset],
    );
    return rows;
  }

  async ofUnit(unitId: number): Promise<UnitHealthRow | null> {
    const { rows } = await this.database.query<UnitHealthRow>(
      `select ${selectHealth} from ${fromHealth} where u.id = $1`,
      [unitId],
    );
    return rows[0] ?? null;
  }

  async totals({ sites, site, words }: Pick<HealthQuery, 'sites' | 'site' | 'words'>): Promise<HealthTotals> {
    const { rows } = await this.database.query<HealthTotals>(
      `select count(*)::int as units, count(*) filter (where a.silent)::int as silent,
              count(*) filter (where u.heard_at is null)::int as "neverHeard",
              count(*) filter (where h.missing > 0)::int as incomplete,
              count(*) filter (where h.catching_up)::int as "catchingUp",
              coalesce(sum(h.expected), 0)::float8 as expected,
              coalesce(sum(h.missing) filter (where h.expected is not null), 0)::float8 as missing,
              coalesce(sum(h.received), 0)::float8 as received, coalesce(sum(h.steps), 0)::float8 as steps,
              coalesce(sum(h.repeats), 0)::float8 as repeats, extract(epoch from min(h.as_of))::float8 as "asOf_s"
         from ${fromHealth} where ${filtered}`,
      [sites, site ?? null, containing(words)],
    );
    return rows[0];
  }

  /** Hours of units in which anything came or is known to be missing, oldest first. */
  async hours(unitIds: readonly number[], from_s: number): Promise<HourOfUnit[]> {
    const { rows } = await this.database.query<HourOfUnit>(
      `select unit_id as "unitId", extract(epoch from hour)::float8 as hour_s,
              sum(samples)::int as samples, sum(missing)::int as missing
         from (select unit_id, hour, samples, 0 as missing from delivery_hour
                where unit_id = any($1) and hour >= to_timestamp($2) and samples > 0
               union all
               select c.unit_id, m.hour, 0, m.expected - m.received from missing_samples m join circuit c on c.id = m.circuit_id
                where c.unit_id = any($1) and m.hour >= to_timestamp($2)) as both_kinds
        group by 1, 2 order by 1, 2`,
      [unitIds, from_s],
    );
    return rows;
  }

  /** Since when what comes is counted; null: nothing was counted yet. */
  async countedSince_s(): Promise<number | null> {
    const { rows } = await this.database.query<{ first_s: number | null }>(
      'select extract(epoch from min(hour))::float8 as first_s from delivery_hour where messages > 0',
    );
    return rows[0].first_s;
  }

  /** Steps of a unit by lateness over the last day. */
  async lateness(unitId: number): Promise<number[]> {
    const { rows } = await this.database.query<{ lateness: number[] }>(
      `select array[${latenessColumns.map((name) => `coalesce(sum(${name}), 0)`).join(', ')}]::int[] as lateness
         from delivery_hour where unit_id = $1 and hour >= ${lastDay}`,
      [unitId],
    );
    return rows[0].lateness;
  }
}
