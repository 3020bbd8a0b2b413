import type { Queryable } from '../connection/database.js';
import { packTally } from './packed-tally.js';
import type { DeliveryHour } from './tally.js';

/** Writes in the transaction of a batch what it counted: one row, whatever the number of units. */
export async function writeTally(client: Queryable, entries: readonly DeliveryHour[]): Promise<void> {
  if (entries.length === 0) return;
  await client.query({
    name: 'write-tally',
    text: 'insert into delivery_tally (content) values ($1)',
    values: [packTally(entries)],
  });
}
