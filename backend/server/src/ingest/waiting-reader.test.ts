import { expect, it } from 'vitest';
import type { WaitingMessage } from '../storage/ingest/heard.repository.js';
import { WaitingReader, type ReadMessage } from './waiting-reader.js';

const waiting = (id: number): WaitingMessage => ({
  ...{
    id,
    topic: `coldrounds/1/harbour/new/circuits/${id}`,
    receivedAt: new Date(0),
    payload: Buffer.from('[]'),
  },
});

it('stores what waited by the change of the registry that it was read as of, and leaves what is still unknown', async () => {
  let version = 4;
  const stored: ReadMessage[][] = [];
  const gone: number[] = [];
  const reader = new WaitingReader({
    heard: {
      nowKnown: async () => [{ site: 'harbour', unit: 'new' }],
      waiting: async (_unit, after) => (after === 0 ? [1, 2].map(waiting) : []),
      readIn: async (ids) => void gone.push(...ids),
    },
    read: async (message) => {
      const unknown = message.topic.endsWith('/2');
      const parts = unknown ? { unread: [{ reason: 'unknown-circuit' }] } : {};
      return { message, parts: parts as ReadMessage['parts'], version };
    },
    store: async (read) => {
      // Somebody changes the registry before it is stored.
      version = 5;
      stored.push(read);
    },
  });
  expect(await reader.look()).toBe(1);
  expect(stored.map((read) => read.map((one) => one.version))).toEqual([[4]]);
  expect(gone).toEqual([1]);
});
