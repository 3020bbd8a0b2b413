import { Database, type Queryable } from '../index.js';
import { notify } from '../connection/notifications.js';
import type { RefusalReason } from './refusal-reasons.js';

export interface StoredGateway {
  id: number;
  site: string;
  number: number;
  name: string;
  madeAt: Date;
  madeBy: string;
  revokedAt: Date | null;
  revokedBy: string | null;
  connectedAt: Date | null;
}

export interface NewGateway {
  siteId: number;
  name: string;
  passwordHash: string;
  madeBy: number | null;
  madeByName: string;
}

export interface StoredRefusal {
  /** Null: of nobody who is known. */
  gatewayId: number | null;
  reason: RefusalReason;
  count: number;
  lastAt: Date;
  detail: string;
}

export interface RefusedLately {
  reason: RefusalReason;
  count: number;
  /** Gateways that it was refused to; 0: only strangers. */
  gateways: number;
  lastAt: string;
}

const columns = `g.id, s.key as site, g.number, g.name, g.made_at as "madeAt", g.made_by_name as "madeBy",
  g.revoked_at as "revokedAt", g.revoked_by_name as "revokedBy", g.connected_at as "connectedAt"`;

/** Keys of gateways, and what the embedded broker saw of them. */
export class GatewayRepository {
  constructor(private readonly database: Database) {}

  /** The id of a site, held so that nobody else numbers a gateway of it meanwhile; null: there is none. */
  async holdSite(client: Queryable, key: string): Promise<number | null> {
    const { rows } = await client.query<{ id: number }>('select id from site where key = $1 for update', [
      key,
    ]);
    return rows[0]?.id ?? null;
  }

  async add(client: Queryable, gateway: NewGateway): Promise<StoredGateway> {
    const { rows } = await client.query<StoredGateway>(
      `with g as (
         insert into gateway (site_id, number, name, password_hash, made_by, made_by_name)
         values ($1, (select coalesce(max(number), 0) + 1 from gateway where site_id = $1), $2, $3, $4, $5) returning *)
       select ${columns} from g join site s on s.id = g.site_id`,
      [gateway.siteId, gateway.name, gateway.passwordHash, gateway.madeBy, gateway.madeByName],
    );
    return rows[0];
  }

  /** Gateways of these sites, or of all; those that are not revoked first. */
  async list(sites: readonly string[] | null): Promise<StoredGateway[]> {
    const { rows } = await this.database.query<StoredGateway>(
      `select ${columns} from gateway g join site s on s.id = g.site_id
        where $1::text[] is null or s.key = any($1) order by s.key, g.revoked_at is not null, g.number`,
      [sites],
    );
    return rows;
  }

  /** Every key as brokers need it; those that are revoked have no hash. */
  async keys(): Promise<{ id: number; site: string; number: number; hash: string | null }[]> {
    const { rows } = await this.database.query<{
      id: number;
      site: string;
      number: number;
      hash: string | null;
    }>(
      `select g.id, s.key as site, g.number, case when g.revoked_at is null then g.password_hash end as hash
         from gateway g join site s on s.id = g.site_id order by s.key, g.number`,
    );
    return rows;
  }

  /** Whether there was such a key to revoke. */
  async revoke(client: Queryable, site: string, number: number, byName: string): Promise<boolean> {
    const { rowCount } = await client.query(
      `update gateway g set revoked_at = now(), revoked_by_name = $3 from site s
        where s.id = g.site_id and s.key = $1 and g.number = $2 and g.revoked_at is null`,
      [site, number, byName],
    );
    return rowCount === 1;
  }

  /** Has the processes that hand keys to a broker look again. */
  changed(): Promise<void> {
    return notify(this.database.pool, 'coldrounds_gateways');
  }

  async refusals(site: string): Promise<StoredRefusal[]> {
    const { rows } = await this.database.query<StoredRefusal>(
      `select r.gateway_id as "gatewayId", r.reason, r.count, r.last_at as "lastAt", r.detail
         from broker_refusal r left join gateway g on g.id = r.gateway_id left join site s on s.id = g.site_id
        where r.gateway_id is null or s.key = $1 order by r.last_at desc`,
      [site],
    );
    return rows;
  }

  async refusedLately(): Promise<RefusedLately[]> {
    const { rows } = await this.database.query<Omit<RefusedLately, 'lastAt'> & { last: Date }>(
      `select reason, sum(count)::float8 as count, count(gateway_id)::int as gateways, max(last_at) as last
         from broker_refusal where last_at > now() - interval '1 day' group by reason order by reason`,
    );
    return rows.map(({ last, ...row }) => ({ ...row, lastAt: last.toISOString() }));
  }

  /** Takes over when gateways were let in, and the totals of what was refused; returns those that have grown. */
  async noteSeen(
    connected: readonly { gatewayId: number; at: string }[],
    refused: readonly (Omit<StoredRefusal, 'lastAt'> & { lastAt: string })[],
  ): Promise<Omit<StoredRefusal, 'lastAt'>[]> {
    await this.database.query(
      `update gateway g set connected_at = c.at from unnest($1::int[], $2::timestamptz[]) as c(id, at)
        where g.id = c.id and g.connected_at is distinct from c.at`,
      [connected.map(({ gatewayId }) => gatewayId), connected.map(({ at }) => at)],
    );
    const { rows } = await this.database.query<Omit<StoredRefusal, 'lastAt'>>(
      `insert into broker_refusal as r (gateway_id, reason, count, last_at, detail)
       select * from unnest($1::int[], $2::text[], $3::bigint[], $4::timestamptz[], $5::text[])
       on conflict (coalesce(gateway_id, 0), reason) do update
         set count = excluded.count, last_at = excluded.last_at, detail = excluded.detail
         where (r.count, r.last_at) is distinct from (excluded.count, excluded.last_at)
       returning gateway_id as "gatewayId", reason, count, detail`,
      [
        refused.map(({ gatewayId }) => gatewayId),
        refused.map(({ reason }) => reason),
        refused.map(({ count }) => count),
        refused.map(({ lastAt }) => lastAt),
        refused.map(({ detail }) => detail),
      ],
    );
    return rows;
  }
}
