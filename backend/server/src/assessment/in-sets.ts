import { setImmediate as nextTurn } from 'node:timers/promises';
import { mayPass } from '../storage/connection/database-errors.js';

/**
 * Does `work` for all items at once; where that fails for the sake of one, for each alone, so that one bad item stops
 * no other. What fails alone is given to `failed`. Trouble with the database itself is thrown: it is nobody's fault.
 */
export async function inSetOrAlone<Item>(
  items: readonly Item[],
  work: (items: readonly Item[]) => Promise<void>,
  failed: (item: Item, error: unknown) => Promise<void>,
): Promise<void> {
  if (items.length === 0) return;
  try {
    await work(items);
  } catch (error) {
    if (mayPass(error)) throw error;
    if (items.length === 1) await failed(items[0], error);
    else for (const item of items) await inSetOrAlone([item], work, failed);
  }
}

/** Lets whatever else this process does have its turn, as often as 20 ms of computing have passed. */
export class Turns {
  private started_ms = performance.now();

  async give(): Promise<void> {
    if (performance.now() - this.started_ms < 20) return;
    await nextTurn();
    this.started_ms = performance.now();
  }
}

export function groupedBy<Item, Key>(items: readonly Item[], keyOf: (item: Item) => Key): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group) group.push(item);
    else groups.set(key, [item]);
  }
  return groups;
}
