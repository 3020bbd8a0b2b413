import type { Database, Queryable } from '../connection/database.js';
import { latenessColumns } from '../schema/result-tables.js';
import { PartitionKeeper, weeksOf } from '../schema/time-series.js';
import { unpackTally } from './packed-tally.js';
import { Tally, type DeliveryHour } from './tally.js';

/** Tallies in one go: those of some minutes. */
const atOnce = 500;

/** Puts what batches counted into the hours of their units. */
export class DeliveryRepository {
  private readonly partitions: PartitionKeeper;

  constructor(private readonly database: Database) {
    this.partitions = new PartitionKeeper(database.pool);
  }

  /**
   * Takes the tallies of stored batches and adds them to their hours, in sets, each set in one transaction: a tally is
   * counted once, whoever ends in between. Several ingesters may do so at the same time. Gives how many were taken.
   */
  async fold(): Promise<number> {
    let folded = 0;
    for (;;) {
      const { rows } = await this.database.query<{ id: number; content: Buffer }>(
        'select id, content from delivery_tally order by id limit $1',
        [atOnce],
      );
      if (rows.length === 0) return folded;
      const tallies = rows.map(({ id, content }) => ({ id, entries: unpackTally(content) }));
      const hours_ms = tallies.flatMap(({ entries }) => entries.map(({ hour }) => hour * 3_600_000));
      await this.partitions.ensure('delivery_hour', weeksOf(hours_ms));
      try {
        folded += await this.take(tallies);
      } catch (error) {
        if ((error as { code?: string }).code !== '23514') throw error;
        // "no partition found": retention dropped a part that was known to be there.
        this.partitions.forget();
      }
      if (rows.length < atOnce) return folded;
    }
  }

  private async take(tallies: readonly { id: number; entries: DeliveryHour[] }[]): Promise<number> {
    return this.database.transaction(async (client) => {
      const { rows } = await client.query<{ id: number }>(
        `delete from delivery_tally where id in (
           select id from delivery_tally where id = any($1::bigint[]) order by id for update skip locked) returning id`,
        [tallies.map(({ id }) => id)],
      );
      const mine = new Set(rows.map(({ id }) => id));
      const tally = new Tally();
      for (const { id, entries } of tallies) if (mine.has(id)) for (const entry of entries) tally.add(entry);
      await addHours(client, tally.sorted());
      return mine.size;
    });
  }
}

const counts = ['samples', 'messages', 'steps', 'repeats', 'history'] as const;

async function addHours(client: Queryable, hours: readonly DeliveryHour[]): Promise<void> {
  if (hours.length === 0) return;
  const finite = (value: number) => (Number.isFinite(value) ? value : null);
  const instant = (of: (hour: DeliveryHour) => number) => hours.map((hour) => finite(of(hour) / 1000));
  const late = latenessColumns.map((name, bin) => ({
    name,
    values: hours.map((hour) => (hour.late[bin] === 0 ? null : hour.late[bin])),
  }));
  const names = [...counts, ...late.map(({ name }) => name)];
  await client.query(
    `insert into delivery_hour as old (unit_id, hour, ${names.join(', ')}, least_s, history_least_s,
                                       last_at, history_at, history_until)
     select unit_id, to_timestamp(hour * 3600.0), ${names.join(', ')}, least_s, history_least_s,
            to_timestamp(last_at), to_timestamp(history_at), to_timestamp(history_until)
       from unnest($1::int[], $2::int[], $3::real[], $4::real[], $5::float8[], $6::float8[], $7::float8[],
                   ${names.map((_, i) => `$${i + 8}::int[]`).join(', ')})
            as t(unit_id, hour, least_s, history_least_s, last_at, history_at, history_until, ${names.join(', ')})
     on conflict (unit_id, hour) do update set
       ${counts.map((name) => `${name} = old.${name} + excluded.${name}`).join(', ')},
       ${late
         .map(
           ({ name }) =>
             `${name} = case when excluded.${name} is null then old.${name} else coalesce(old.${name}, 0) + excluded.${name} end`,
         )
         .join(', ')},
       least_s = least(old.least_s, excluded.least_s),
       history_least_s = least(old.history_least_s, excluded.history_least_s),
       last_at = greatest(old.last_at, excluded.last_at),
       history_at = greatest(old.history_at, excluded.history_at),
       history_until = greatest(old.history_until, excluded.history_until)`,
    [
      hours.map(({ unitId }) => unitId),
      hours.map(({ hour }) => hour),
      hours.map(({ least_s }) => finite(least_s)),
      hours.map(({ historyLeast_s }) => finite(historyLeast_s)),
      instant(({ last_ms }) => last_ms),
      instant(({ historyAt_ms }) => historyAt_ms),
      instant(({ historyUntil_ms }) => historyUntil_ms),
      ...counts.map((name) => hours.map((hour) => hour[name])),
      ...late.map(({ values }) => values),
    ],
  );
}
