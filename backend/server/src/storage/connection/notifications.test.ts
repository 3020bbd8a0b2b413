import { EventEmitter } from 'node:events';
import type pg from 'pg';
import { describe, expect, it } from 'vitest';
import { listen } from './notifications.js';

/** A pool whose connections can be broken at will. */
class FakePool {
  readonly clients: (EventEmitter & { released: number })[] = [];
  breakInQuery = true;

  connect = async () => {
    const client = Object.assign(new EventEmitter(), {
      released: 0,
      release: () => {
        client.released++;
      },
      query: async () => {
        if (!this.breakInQuery) return;
        // As pg does: the event and the failed query, one after the other.
        const error = new Error('Connection terminated unexpectedly');
        client.emit('error', error);
        throw error;
      },
    });
    this.clients.push(client);
    return client;
  };
}

const moment = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));

describe('listen', () => {
  it('connects once more, and not twice, when the connection breaks inside LISTEN', async () => {
    const pool = new FakePool();
    const heard: string[] = [];
    const stop = listen(pool as unknown as pg.Pool, 'coldrounds_live', (payload) => heard.push(payload), 20);
    await moment(5);
    expect(pool.clients).toHaveLength(1);
    pool.breakInQuery = false;
    await moment(60);
    expect(pool.clients).toHaveLength(2);
    expect(pool.clients.map(({ released }) => released)).toEqual([1, 0]);
    for (const client of pool.clients) client.emit('notification', { payload: 'news' });
    await stop();
    await moment(40);
    expect(pool.clients.map(({ released }) => released)).toEqual([1, 1]);
    expect(heard.filter((payload) => payload === 'news').length).toBeLessThanOrEqual(2);
    expect(pool.clients).toHaveLength(2);
  });

  it('connects again after a connection that listened has broken', async () => {
    const pool = new FakePool();
    pool.breakInQuery = false;
    const stop = listen(pool as unknown as pg.Pool, 'coldrounds_live', () => {}, 20);
    await moment(5);
    pool.clients[0].emit('error', new Error('gone'));
    await moment(60);
    expect(pool.clients).toHaveLength(2);
    await stop();
  });
});
