import { keyOf, type RoundOrder } from '../../storage/repositories/findings/round-orders.js';

/** Where a page of the round ended: its order, the key of its last unit in it, and its rank. */
export interface RoundCursor {
  order: RoundOrder;
  key: (number | string)[];
  rank: number;
}

/** The cursor is not one of ours. */
export class BadCursorError extends Error {
  override name = 'BadCursorError';
}

export const writeCursor = ({ order, key, rank }: RoundCursor): string =>
  Buffer.from(JSON.stringify([order, ...key, rank])).toString('base64url');

/** What the parts of a key in an order are. */
const shapeOf = (order: RoundOrder): string[] =>
  keyOf(order, {
    ...{ urgency: 0, waiting: 0, findings: 0, certainty: 0, weight: null, since_s: null },
    ...{ name: '', siteName: '' },
  }).map((part) => typeof part);

/** A cursor holds in the order that it was written for. */
export function readCursor(text: string, order: RoundOrder): RoundCursor {
  try {
    const [of, ...key] = JSON.parse(Buffer.from(text, 'base64url').toString('utf8')) as unknown[];
    const rank = key.pop();
    const shape = shapeOf(order);
    const fits = key.length === shape.length && key.every((part, index) => typeof part === shape[index]);
    if (of === order && fits && Number.isInteger(rank))
      return { order, key: key as (number | string)[], rank: rank as number };
  } catch {
    // Said below, as for any other text.
  }
  throw new BadCursorError('This cursor is not valid here. Start again from the first page.');
}
