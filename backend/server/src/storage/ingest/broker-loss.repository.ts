import type { Queryable } from '../connection/database.js';

export interface BrokerLoss {
  broker: string;
  lost: number;
  /** ISO instants. */
  firstAt: string | null;
  lastAt: string | null;
}

/** What brokers say they have dropped, kept over restarts of either side. */
export class BrokerLossRepository {
  constructor(private readonly database: Queryable) {}

  /**
   * Takes the broker's counter, which begins at 0 when it starts; returns how many messages were lost since it was last
   * told. What a broker dropped before it was first asked belongs to others.
   */
  async told(broker: string, counter: number): Promise<number> {
    const { rows } = await this.database.query<{ fresh: number }>(
      `with before as (select counter from broker_loss where broker = $1),
       fresh as (select coalesce((select case when $2 >= counter then $2 - counter else $2 end from before), 0)::bigint as n)
       insert into broker_loss as l (broker, counter, lost, first_at, last_at)
       select $1, $2, n, case when n > 0 then now() end, case when n > 0 then now() end from fresh
       on conflict (broker) do update set counter = excluded.counter, lost = l.lost + excluded.lost,
         first_at = coalesce(l.first_at, excluded.first_at), last_at = coalesce(excluded.last_at, l.last_at)
       returning (select n from fresh)::float8 as fresh`,
      [broker, counter],
    );
    return rows[0].fresh;
  }

  async all(): Promise<BrokerLoss[]> {
    const { rows } = await this.database.query<{ broker: string; lost: number; first: Date; last: Date }>(
      `select broker, lost::float8 as lost, first_at as first, last_at as last from broker_loss where lost > 0 order by 1`,
    );
    return rows.map(({ broker, lost, first, last }) => ({
      broker,
      lost,
      firstAt: first.toISOString(),
      lastAt: last.toISOString(),
    }));
  }
}
