import { writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { databaseOfRun } from '../../backend/server/src/embedded/database-address.js';
import { removeFolder, startRun } from '../end-to-end/support/embedded-run.js';
import { freePort, temporaryFolder } from '../support/store/database.js';

describe('npm start on something that cannot work', () => {
  const folders: string[] = [];
  const folder = async () => {
    const made = await temporaryFolder('run');
    folders.push(made);
    return made;
  };
  afterEach(async () => {
    for (const made of folders.splice(0)) await removeFolder(made);
  });

  async function refusal(dataDir: string, env: Record<string, string>): Promise<string> {
    const run = await startRun(dataDir, env);
    expect(await run.ended).toBe(1);
    return run.output();
  }

  it('names the taken port and the variable to change', async () => {
    const port = await freePort();
    const occupant = createServer();
    await new Promise<void>((resolve) => occupant.listen(port, '127.0.0.1', resolve));
    try {
      expect(await refusal(await folder(), { PORT: String(port) })).toMatch(
        new RegExp(`Port ${port} is in use. Set PORT to a free port`),
      );
    } finally {
      occupant.close();
    }
  });

  it('names the folder that cannot be written', async () => {
    const file = join(await folder(), 'a-file');
    await writeFile(file, '');
    expect(await refusal(file, {})).toMatch(/cannot write to the data folder.*Set DATA_DIR/);
  });

  it('names each wrong variable, without its value', async () => {
    const output = await refusal(await folder(), { PORT: 'eighty', DATABASE_URL: 'secret-value' });
    expect(output).toMatch(/PORT/);
    expect(output).toMatch(/DATABASE_URL/);
    expect(output).not.toContain('secret-value');
  });

  it('refuses to let others reach the broker before a gateway has a key, and says how to make one', async () => {
    const outside: Record<string, string>[] = [
      { MQTT_HOST: '0.0.0.0' },
      { MQTT_TLS_CERT: 'server.crt', MQTT_TLS_KEY: 'server.key' },
    ];
    for (const setting of outside)
      expect(await refusal(await folder(), { DEMO: 'off', ...setting })).toMatch(
        /no gateway has a key yet.*npx coldrounds gateway add SITE/,
      );
    expect(await refusal(await folder(), { MQTT_TLS_CERT: 'server.crt' })).toMatch(
      /MQTT_TLS_CERT and MQTT_TLS_KEY together/,
    );
  });

  it('refuses a database of another PostgreSQL version and says what to do', async () => {
    const dataDir = await folder();
    const first = await startRun(dataDir, { DEMO: 'off' });
    await first.printed(/the server is running/);
    expect(await databaseOfRun(dataDir)).toMatch(/^postgresql:/);
    expect(await first.interrupt()).toBe(0);
    expect(await databaseOfRun(dataDir)).toBeUndefined();
    await writeFile(join(dataDir, 'postgres', 'PG_VERSION'), '12\n');
    expect(await refusal(dataDir, { DEMO: 'off' })).toMatch(
      /made by PostgreSQL 12.*set DATA_DIR to a new folder/,
    );
  });
});
