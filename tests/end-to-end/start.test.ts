import { writeFile } from 'node:fs/promises';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { databaseOfRun } from '../../backend/server/src/embedded/database-address.js';
import { freePort, temporaryFolder } from '../support/store/database.js';
import { removeFolder, startRun, type StartedRun } from './support/embedded-run.js';

// A start makes a database; on a busy machine that takes its time, and none of these tests measures it.
vi.setConfig({ testTimeout: 400_000 });

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

describe('a run without the invented fleet', () => {
  let run: StartedRun;
  it('says plainly that one part ended, stops the rest and exits with an error', async () => {
    const dataDir = await temporaryFolder('run');
    run = await startRun(dataDir, { DEMO: 'off' });
    await run.printed(/the server is running/);
    const health = (await (await fetch(`${run.address}/api/health`)).json()) as { status: string };
    expect(health.status).toBeDefined();
    const { execFileSync } = await import('node:child_process');
    execFileSync('pkill', ['-KILL', '-P', String(run.process.pid), '-f', 'bin/serve.js']);
    expect(await run.ended).toBe(1);
    expect(run.output()).toMatch(/the server was ended by SIGKILL/);
    expect(run.output()).toMatch(/Stopping everything else/);
    await removeFolder(dataDir);
  });
});
