import { Database, type Queryable } from '../../connection/database.js';
import { containing } from '../like-patterns.js';
import { needsSite, partsOf, type RoundOrder } from './round-orders.js';

/** Place of a unit on the round: the columns of its order, all ascending, and what it is found by. */
export interface Place {
  unitId: number;
  /** 0 today, 1 this-week, 2 next-visit, 3 watch, 4 nothing found. */
  urgency: number;
  /** Negative: what costs most comes first. */
  waiting: number;
  /** How many problems, negative: most first. */
  findings: number;
  certainty: number;
  /** `{site key}/{unit key}`. */
  name: string;
  /** Since when the first problem is known; null: nothing found, or not worked out yet. */
  since_s: number | null;
}

export interface KeptPlace extends Place {
  siteId: number;
  silent: boolean;
  /** Registered, and no reading ever came. */
  neverHeard: boolean;
  /** Of the first problem; null: a finding that no diagnosis explains, or none. */
  cause: string | null;
  /** Probability of that cause. */
  weight: number | null;
  /** What a search looks through, in lower case. */
  words: string;
}

export interface RoundState {
  /** Number of the newest change. */
  version: number;
  changedAt: Date;
  /** When judging began; null: it has not. */
  judgingSince: Date | null;
  units: number;
  circuits: number;
  modules: number;
  /** Units by the urgency of `Place`. */
  byUrgency: number[];
  silent: number;
  /** Registered, never heard, and without a finding. */
  neverHeard: number;
}

/** Which units are asked for; all of them where nothing is given. */
export interface PlaceFilter {
  site?: string;
  /** Keys of the only sites that may be seen; null or left out: all. */
  sites?: readonly string[] | null;
  /** Of the site; `noRegion` for sites without one. */
  region?: string;
  urgency?: number;
  /** Words that must all be found. */
  words?: readonly string[];
}

/** A place with where it stands in the order that was asked for. */
export interface OrderedUnit extends Place {
  key: (number | string)[];
}

export interface RoundChange {
  id: number;
  /** `{site key}/{unit key}`. */
  unit: string;
  changedAt: Date;
  /** Where the unit stands now, as in `Place`. */
  urgency: number;
  /** How many findings it has now. */
  findings: number;
}

const place = `a.unit_id as "unitId", a.urgency, a.waiting, a.findings, a.certainty, a.name, a.since_s`;

/** What stands for sites without a region. */
export const noRegion = 'no region';

/** `where` of a filter, with its parameters from $1. */
function where({ site, sites, region, urgency, words }: PlaceFilter): { text: string; values: unknown[] } {
  const parts: string[] = [];
  const values: unknown[] = [];
  if (site !== undefined) parts.push(`a.site_id = (select id from site where key = $${values.push(site)})`);
  if (sites != null)
    parts.push(`a.site_id = any(array(select id from site where key = any($${values.push(sites)}::text[])))`);
  if (region !== undefined)
    parts.push(
      `a.site_id in (select id from site where coalesce(region, '${noRegion}') = $${values.push(region)})`,
    );
  if (urgency !== undefined) parts.push(`a.urgency = $${values.push(urgency)}`);
  if (words !== undefined && words.length > 0)
    parts.push(`a.words like all($${values.push(containing(words))}::text[])`);
  return { text: parts.length === 0 ? 'true' : parts.join(' and '), values };
}

/** How the list of units may be ordered besides by the round; each ends with the name, so that it is stable. */
const unitOrders = {
  round: partsOf('urgency').join(', '),
  unit: 'u.name, a.name',
  site: 's.name, a.name',
  refrigerant: 'u.refrigerant, a.name',
  capacity: 'u.nominal_capacity_w, a.name',
  firmware: 'u.controller_firmware, a.name',
} as const;
export type UnitOrder = keyof typeof unitOrders;

/** The order of the round, kept beside the findings. */
export class AttentionRepository {
  constructor(private readonly database: Database) {}

  async state(): Promise<RoundState> {
    const { rows } = await this.database.query<RoundState>(
      `select version, changed_at as "changedAt", judging_since as "judgingSince", units, circuits, modules, by_urgency as "byUrgency", silent,
              never_heard as "neverHeard" from round_state`,
    );
    return rows[0];
  }

  /** The headline counts of some sites alone, for people who are limited to them. */
  async stateOf(
    sites: readonly string[],
  ): Promise<Omit<RoundState, 'version' | 'changedAt' | 'judgingSince'>> {
    const { rows } = await this.database.query<Omit<RoundState, 'version' | 'changedAt' | 'judgingSince'>>(
      `with own as (select a.* from unit_attention a join site s on s.id = a.site_id where s.key = any($1::text[]))
       select (select count(*)::int from own) as units,
              (select count(*)::int from circuit c join own on own.unit_id = c.unit_id where c.retired_at is null) as circuits,
              (select count(*)::int from module m join own on own.unit_id = m.unit_id where m.retired_at is null) as modules,
              (select array_agg((select count(*)::int from own where urgency = n) order by n)
                 from generate_series(0, 4) as n) as "byUrgency",
              (select count(*)::int from own where silent) as silent,
              (select count(*)::int from own where never_heard and urgency = 4) as "neverHeard"`,
      [sites],
    );
    return rows[0];
  }

  /** The places after the one with the key `after`, in the order asked for. */
  async page(
    filter: PlaceFilter,
    after: readonly (number | string)[] | null,
    limit: number,
    by: RoundOrder = 'urgency',
  ): Promise<OrderedUnit[]> {
    const { text, values } = where(filter);
    const parts = partsOf(by);
    const order = parts.join(', ');
    const beyond =
      after === null ? '' : `and (${order}) > (${after.map((value) => `$${values.push(value)}`).join(', ')})`;
    const { rows } = await this.database.query<Place & Record<string, number | string>>(
      `select ${place}, ${parts.map((part, index) => `${part} as k${index}`).join(', ')} from unit_attention a
        ${needsSite(by) ? 'join site s on s.id = a.site_id' : ''}
        where ${text} ${beyond} order by ${order} limit $${values.push(limit)}`,
      values,
    );
    return rows.map((row) => ({ ...row, key: parts.map((_, index) => row[`k${index}`]) }));
  }

  /** Units by urgency among those that fit; reads along an index, or through all words where words are given. */
  async count(filter: PlaceFilter): Promise<number[]> {
    const { text, values } = where(filter);
    const { rows } = await this.database.query<{ urgency: number; units: number }>(
      `select urgency, count(*)::int as units from unit_attention a where ${text} group by urgency`,
      values,
    );
    const counts = [0, 0, 0, 0, 0];
    for (const { urgency, units } of rows) counts[urgency] = units;
    return counts;
  }

  /** A page of the list of units, in one of its orders. */
  async units(
    filter: PlaceFilter,
    { by, descending }: { by: UnitOrder; descending: boolean },
    limit: number,
    offset: number,
  ): Promise<Place[]> {
    const { text, values } = where(filter);
    const joined = by === 'round' ? '' : 'join unit u on u.id = a.unit_id join site s on s.id = a.site_id';
    const columns = unitOrders[by]
      .split(', ')
      .map((column) => `${column} ${descending ? 'desc' : 'asc'}`)
      .join(', ');
    const { rows } = await this.database.query<Place>(
      `select ${place} from unit_attention a ${joined} where ${text}
        order by ${columns} limit $${values.push(limit)} offset $${values.push(offset)}`,
      values,
    );
    return rows;
  }

  /** What changed after number `since`, oldest first, and the oldest number that is still known. */
  async changes(since: number, limit: number): Promise<{ changes: RoundChange[]; oldest: number | null }> {
    const { rows } = await this.database.query<RoundChange>(
      `select c.id, s.key || '/' || u.key as unit, c.changed_at as "changedAt",
              coalesce(a.urgency, 4)::int as urgency, coalesce(-a.findings, 0)::int as findings from round_change c
         join unit u on u.id = c.unit_id join site s on s.id = u.site_id left join unit_attention a on a.unit_id = u.id
        where c.id > $1 order by c.id limit $2`,
      [since, limit],
    );
    const oldest = await this.database.query<{ oldest: number | null }>(
      'select min(id) as oldest from round_change',
    );
    return { changes: rows, oldest: oldest.rows[0].oldest };
  }

  /**
   * Takes up to `limit` units whose place may have changed and lets `work` bring it up to date, in one transaction.
   * Returns how many were taken; null where another process is at it.
   */
  takeDue(
    limit: number,
    work: (unitIds: number[], client: Queryable) => Promise<void>,
  ): Promise<number | null> {
    return this.database.transaction(async (client) => {
      const { rows: locks } = await client.query<{ free: boolean }>(
        'select pg_try_advisory_xact_lock($1) as free',
        [keeperLock],
      );
      if (!locks[0].free) return null;
      const { rows } = await client.query<{ unit_id: number }>(
        `delete from attention_due where id in (select id from attention_due order by id limit $1) returning unit_id`,
        [limit],
      );
      const unitIds = [...new Set(rows.map((row) => row.unit_id))];
      if (unitIds.length > 0) await work(unitIds, client);
      return rows.length;
    });
  }

  async kept(client: Queryable, unitIds: readonly number[]): Promise<Map<number, KeptPlace>> {
    const { rows } = await client.query<KeptPlace>(
      `select ${place}, a.site_id as "siteId", a.silent, a.never_heard as "neverHeard", a.cause, a.weight, a.words from unit_attention a where a.unit_id = any($1)`,
      [unitIds],
    );
    return new Map(rows.map((row) => [row.unitId, row]));
  }

  async keep(client: Queryable, places: readonly KeptPlace[]): Promise<void> {
    const column = <Name extends keyof KeptPlace>(name: Name) => places.map((entry) => entry[name]);
    await client.query(
      `insert into unit_attention (unit_id, site_id, urgency, waiting, findings, certainty, name, silent, words,
                                   cause, weight, never_heard, since_s)
       select * from unnest($1::int[], $2::int[], $3::smallint[], $4::float8[], $5::smallint[], $6::smallint[],
                            $7::text[], $8::boolean[], $9::text[], $10::text[], $11::real[], $12::boolean[], $13::float8[])
       on conflict (unit_id) do update set site_id = excluded.site_id, urgency = excluded.urgency,
         waiting = excluded.waiting, findings = excluded.findings, certainty = excluded.certainty,
         name = excluded.name, silent = excluded.silent, words = excluded.words,
         cause = excluded.cause, weight = excluded.weight, never_heard = excluded.never_heard,
         since_s = excluded.since_s`,
      [
        column('unitId'),
        column('siteId'),
        column('urgency'),
        column('waiting'),
        column('findings'),
        column('certainty'),
        column('name'),
        column('silent'),
        column('words'),
        column('cause'),
        column('weight'),
        column('neverHeard'),
        column('since_s'),
      ],
    );
  }

  /** Takes units off the round that are out of service; gives those that were on it. */
  async remove(client: Queryable, unitIds: readonly number[]): Promise<number[]> {
    if (unitIds.length === 0) return [];
    const { rows } = await client.query<{ unit_id: number }>(
      'delete from unit_attention where unit_id = any($1) returning unit_id',
      [unitIds],
    );
    return rows.map(({ unit_id }) => unit_id);
  }

  /** Numbers the changes, keeps the newest of them for readers that were away, and counts anew. */
  async tellChanges(client: Queryable, unitIds: readonly number[]): Promise<void> {
    await client.query(
      `insert into round_change (id, unit_id)
       select state.version + changed.n, changed.unit_id
         from round_state state, unnest($1::int[]) with ordinality as changed(unit_id, n)`,
      [unitIds],
    );
    await client.query(
      `update round_state set version = version + $1, changed_at = now(),
              units = (select count(*) from unit where retired_at is null),
              circuits = (select count(*) from circuit c join unit u on u.id = c.unit_id
                           where c.retired_at is null and u.retired_at is null),
              modules = (select count(*) from module m join unit u on u.id = m.unit_id
                          where m.retired_at is null and u.retired_at is null),
              by_urgency = (select array_agg((select count(*)::int from unit_attention where urgency = n) order by n)
                              from generate_series(0, 4) as n),
              silent = (select count(*) from unit_attention where silent),
              never_heard = (select count(*) from unit_attention where never_heard and urgency = 4)`,
      [unitIds.length],
    );
    await client.query('delete from round_change where id <= (select version from round_state) - $1', [
      keptChanges,
    ]);
  }
}

/** Any constant will do; it only has to be the same in every process. */
const keeperLock = 0x726f_756e;
const keptChanges = 50_000;
