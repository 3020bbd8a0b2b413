import type { PlaceKey } from '../../storage/repositories/findings/attention.repository.js';

/** Where a page of the round ended: the place of its last unit, and its rank. */
export interface RoundCursor extends PlaceKey {
  rank: number;
}

/** The cursor is not one of ours. */
export class BadCursorError extends Error {
  override name = 'BadCursorError';
}

export const writeCursor = ({ urgency, waiting, findings, certainty, name, rank }: RoundCursor): string =>
  Buffer.from(JSON.stringify([urgency, waiting, findings, certainty, name, rank])).toString('base64url');

export function readCursor(text: string): RoundCursor {
  try {
    const [urgency, waiting, findings, certainty, name, rank] = JSON.parse(
      Buffer.from(text, 'base64url').toString('utf8'),
    ) as unknown[];
    const numbers = [urgency, waiting, findings, certainty, rank];
    if (numbers.every(Number.isFinite) && typeof name === 'string')
      return { urgency, waiting, findings, certainty, name, rank } as RoundCursor;
  } catch {
    // Said below, as for any other text.
  }
  throw new BadCursorError('This cursor is not valid. Start again from the first page.');
}
