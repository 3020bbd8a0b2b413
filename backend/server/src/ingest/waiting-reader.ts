import { emptyBatch, type IngestBatch } from '../storage/incoming/ingest-batch.js';
import type { HeardRepository } from '../storage/ingest/heard.repository.js';
import type { HeldMessage } from './receiving/acknowledging-client.js';
import type { MessageParts } from './read-message.js';

export interface ReadMessage {
  message: HeldMessage;
  parts: MessageParts;
  /** Change of the registry that its readings were converted as of. */
  version: number;
}

export interface WaitingReaderParts {
  heard: Pick<HeardRepository, 'nowKnown' | 'waiting' | 'readIn'>;
  read: (message: HeldMessage) => Promise<ReadMessage>;
  /** Stores what one set of messages holds; throws where that cannot be done now, as after a change of the registry. */
  store: (read: ReadMessage[]) => Promise<void>;
}

/** Messages in one go. */
const atOnce = 200;
const stillUnknown = /^unknown-/;

/** Reads in what was kept of senders that are registered by now. */
export class WaitingReader {
  private running: Promise<number> | null = null;

  constructor(private readonly parts: WaitingReaderParts) {}

  /** Gives how many messages were read in. One at a time; a second call meanwhile waits for the first and looks again. */
  async look(): Promise<number> {
    while (this.running !== null) await this.running.catch(() => {});
    this.running = this.readAll().finally(() => (this.running = null));
    return this.running;
  }

  private async readAll(): Promise<number> {
    let count = 0;
    for (const unit of await this.parts.heard.nowKnown()) {
      for (let after = 0; ;) {
        const messages = await this.parts.heard.waiting(unit, after, atOnce);
        if (messages.length === 0) break;
        after = messages[messages.length - 1].id;
        const held = messages.map(heldOf);
        const read = await Promise.all(held.map((message) => this.parts.read(message)));
        const known = messages.flatMap((_, i) =>
          read[i].parts.unread?.some(({ reason }) => stillUnknown.test(reason)) ? [] : [i],
        );
        if (known.length === 0) continue;
        await this.parts.store(known.map((i) => read[i]));
        await this.parts.heard.readIn(known.map((i) => messages[i].id));
        count += known.length;
      }
    }
    return count;
  }
}

const heldOf = ({
  topic,
  payload,
  receivedAt,
}: {
  topic: string;
  payload: Buffer;
  receivedAt: Date;
}): HeldMessage => ({
  ...{ topic, payload, receivedAt_ms: receivedAt.getTime() },
  ...{ delivery: null, mayBeRedelivered: false, connectedAt_ms: receivedAt.getTime() },
  acknowledge: () => {},
});

/** All that several messages bring, as one batch. */
export const batchOf = (all: readonly MessageParts[]): IngestBatch => {
  const batch = emptyBatch();
  for (const parts of all)
    for (const [name, rows] of Object.entries(parts) as [keyof IngestBatch, never[] | undefined][])
      batch[name].push(...(rows ?? []));
  return batch;
};
