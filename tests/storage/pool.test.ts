import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { createPool } from '../../backend/server/src/storage/index.js';
import { type DatabaseServer, startDatabaseServer } from '../support/store/database.js';

describe('a pool of connections', () => {
  let server: DatabaseServer;
  beforeAll(async () => void (server = await startDatabaseServer()));
  afterAll(() => server.stop());

  it('outlives the end of a connection that was handed out and that nobody listens to', async () => {
    const pool = createPool(await server.newDatabase());
    const client = await pool.connect();
    const { rows } = await client.query<{ pid: number }>('select pg_backend_pid() as pid');
    const ended = new Promise((resolve) => client.once('end', resolve));
    await pool.query('select pg_terminate_backend($1)', [rows[0].pid]);
    await ended;
    await expect(client.query('select 1')).rejects.toThrow();
    client.release(true);
    expect((await pool.query<{ one: number }>('select 1 as one')).rows).toEqual([{ one: 1 }]);
    await pool.end();
  });
});
