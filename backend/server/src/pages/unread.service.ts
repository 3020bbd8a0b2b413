import { NotKnownError } from '../registry/fleet.service.js';
import type { SeenSites, UnreadRepository } from '../storage/repositories/unread.repository.js';

const pageLength = 50;

const whiteSpace = '\t\n\v\f\r';
const isControl = (character: string) =>
  (character < ' ' && !whiteSpace.includes(character)) || character === '\u007f';

/** Text as it is, anything else as hexadecimal digits. */
export function preview(head: Buffer): { preview: string; text: boolean } {
  try {
    // The last character may be cut in two; streaming decoding leaves its half out.
    const text = new TextDecoder('utf-8', { fatal: true }).decode(head, { stream: true });
    // Control characters other than white space mark a payload that only happens to decode.
    if (![...text].some(isControl)) return { preview: text, text: true };
  } catch {
    // Not UTF-8.
  }
  return { preview: head.subarray(0, 120).toString('hex'), text: false };
}

/** What could not be read, for a person to look at. */
export class UnreadService {
  constructor(private readonly repository: UnreadRepository) {}

  /** @param query `sites`: keys of the only ones whose messages may be seen; null: all */
  async list(query: { page: number; reason?: string; sites: SeenSites }) {
    const [reasons, notKept, rows] = await Promise.all([
      this.repository.reasons(query.sites),
      this.repository.notKept(query.reason, query.sites),
      this.repository.page(query.reason, pageLength, (query.page - 1) * pageLength, query.sites),
    ]);
    const total = reasons
      .filter(({ reason }) => query.reason === undefined || reason === query.reason)
      .reduce((sum, { count }) => sum + count, 0);
    return {
      total,
      page: query.page,
      pages: Math.max(1, Math.ceil(total / pageLength)),
      reasons,
      notKept,
      messages: rows.map(({ id, received_at, topic, reason, detail, bytes, head }) => ({
        id: String(id),
        receivedAt: received_at.toISOString(),
        topic,
        reason,
        detail,
        bytes,
        ...preview(head),
      })),
    };
  }

  async payload(id: string, sites: SeenSites) {
    const message = /^\d{1,18}$/.test(id) ? await this.repository.payload(id, sites) : null;
    if (message === null) throw new NotKnownError(`There is no unread message ${id}.`);
    return message;
  }
}
