import type { MessagePort } from 'node:worker_threads';
import type { Table } from '../export.service.js';
import { toldError, type FromThread, type ToThread } from './messages.js';
import { whileAsked } from './while-asked.js';

type Method = (...args: unknown[]) => Promise<unknown>;

/** Rows of a table in one message: some 100 kB. */
const rowsAtOnce = 1000;

interface Call {
  leaves: AbortController;
  /** Of a table whose rows have not all been told. */
  rows: AsyncIterator<unknown[]> | null;
}

/**
 * Answers calls of methods of the services, as they come and several at a time. An answer that is a table is told row by row as
 * they are asked for.
 *
 * @param ended called once no more calls come
 */
export function answerCalls(
  port: Pick<MessagePort, 'on' | 'postMessage'>,
  services: Readonly<Record<string, object>>,
  ended: () => void,
): void {
  const calls = new Map<number, Call>();
  const tell = (message: FromThread) => port.postMessage(message);
  const fail = (id: number, error: unknown) => {
    calls.delete(id);
    tell({ kind: 'error', id, error: toldError(error) });
  };

  const call = async ({ id, service, method, args }: Extract<ToThread, { kind: 'call' }>) => {
    const own: Call = { leaves: new AbortController(), rows: null };
    calls.set(id, own);
    const of = services[service] as Record<string, Method>;
    const value = await whileAsked(own.leaves.signal, () => of[method]!(...args));
    if (!isTable(value)) {
      calls.delete(id);
      return tell({ kind: 'answer', id, value });
    }
    own.rows = value.rows[Symbol.asyncIterator]();
    tell({ kind: 'table', id, name: value.name, columns: value.columns });
  };

  const more = async (id: number) => {
    const rows = calls.get(id)?.rows;
    if (rows == null) return;
    const found: unknown[][] = [];
    let done = false;
    while (!done && found.length < rowsAtOnce) {
      const next = await rows.next();
      if (next.done === true) done = true;
      else found.push(next.value);
    }
    if (done) calls.delete(id);
    tell({ kind: 'rows', id, rows: found, done });
  };

  const leave = (id: number) => {
    const left = calls.get(id);
    if (left === undefined) return;
    left.leaves.abort();
    // An answer that is being worked out tells its own end.
    if (left.rows === null) return;
    calls.delete(id);
    void left.rows.return?.().catch(() => {});
  };

  port.on('message', (message: ToThread) => {
    switch (message.kind) {
      case 'call':
        return void call(message).catch((error) => fail(message.id, error));
      case 'more':
        return void more(message.id).catch((error) => fail(message.id, error));
      case 'cancel':
        return leave(message.id);
      case 'end':
        ended();
    }
  });
}

const isTable = (value: unknown): value is Table =>
  typeof value === 'object' &&
  value !== null &&
  'rows' in value &&
  Symbol.asyncIterator in (value.rows as object);
