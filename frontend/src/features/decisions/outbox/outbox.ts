import type { DecisionWish } from '../../../api/decisions/decisions.js';

/** A decision that was made here and is not known to have arrived. */
export interface Kept {
  finding: string;
  /** What it is about, for the person who made it. */
  about: string;
  /** Its `key` makes the same sent twice one decision. */
  body: DecisionWish & { key: string };
  /** Why the server refused it, where it did; then it is not sent again by itself. */
  refused?: string;
}

const name = 'coldrounds.outbox';

export type Storage = Pick<globalThis.Storage, 'getItem' | 'setItem' | 'removeItem'>;

/** Decisions kept in the browser until the server has them, so that none is lost without a connection. */
export class Outbox {
  private listeners = new Set<() => void>();
  private sending: Promise<void> | undefined;
  private known: { text: string | null; list: Kept[] } = { text: null, list: [] };

  constructor(private readonly storage: () => Storage | null) {}

  list = (): Kept[] => {
    const text = this.storage()?.getItem(name) ?? null;
    if (text !== this.known.text) this.known = { text, list: parsed(text) };
    return this.known.list;
  };

  listen = (hear: () => void): (() => void) => {
    this.listeners.add(hear);
    return () => this.listeners.delete(hear);
  };

  keep(kept: Kept): void {
    this.write([...this.list().filter(({ body }) => body.key !== kept.body.key), kept]);
  }

  drop(key: string): void {
    this.write(this.list().filter(({ body }) => body.key !== key));
  }

  /**
   * Sends what waits, in the order in which it was decided. `send` says whether the server took it, refused it with a
   * reason, or could not be reached; then the rest waits too. One round at a time.
   */
  sendAll(send: (kept: Kept) => Promise<'taken' | 'away' | { refused: string }>): Promise<void> {
    this.sending ??= this.work(send).finally(() => (this.sending = undefined));
    return this.sending;
  }

  private async work(send: Parameters<Outbox['sendAll']>[0]): Promise<void> {
    for (const kept of this.list().filter(({ refused }) => refused === undefined)) {
      const outcome = await send(kept);
      if (outcome === 'away') return;
      if (outcome === 'taken') this.drop(kept.body.key);
      else this.keep({ ...kept, refused: outcome.refused });
    }
  }

  private write(list: Kept[]): void {
    const storage = this.storage();
    if (list.length === 0) storage?.removeItem(name);
    else storage?.setItem(name, JSON.stringify(list));
    for (const hear of this.listeners) hear();
  }
}

function parsed(text: string | null): Kept[] {
  try {
    const list: unknown = JSON.parse(text ?? '[]');
    return Array.isArray(list) ? (list as Kept[]) : [];
  } catch {
    return [];
  }
}
