import { readFile, rm, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from 'vitest';
import { runCommand } from '../../backend/server/src/bin/cli.js';
import { isPassword } from '../../backend/server/src/gateways/password.js';
import { keepDatabaseAddress } from '../../backend/server/src/embedded/database-address.js';
import { createPool } from '../../backend/server/src/storage/index.js';
import { type DatabaseServer, startDatabaseServer, temporaryFolder } from '../support/store/database.js';

const example = fileURLToPath(new URL('../../docs/fleet-example.json', import.meta.url));
const circuit = ['--site', 'town-hall', '--unit', 'chiller-1', '--circuit', '1'];

describe('the commands that need a store', () => {
  let server: DatabaseServer;
  let folder: string;
  let forget: () => Promise<void>;
  let address: string;
  let out = '';
  let said = '';
  beforeAll(async () => {
    server = await startDatabaseServer();
    folder = await temporaryFolder('commands');
    address = await server.emptyDatabase();
    forget = await keepDatabaseAddress(folder, address);
  });
  afterAll(async () => {
    await rm(folder, { recursive: true, force: true });
    await server?.stop();
  });
  beforeEach(() => {
    out = '';
    said = '';
    vi.stubEnv('DATA_DIR', folder);
    vi.stubEnv('DATABASE_URL', '');
    vi.spyOn(process.stdout, 'write').mockImplementation((text, ...rest) => {
      out += String(text);
      for (const done of rest) if (typeof done === 'function') done();
      return true;
    });
    vi.spyOn(console, 'error').mockImplementation((text) => void (said += `${text}\n`));
  });
  afterEach(() => {
    vi.unstubAllEnvs();
    vi.restoreAllMocks();
  });

  it('find the database of the run on DATA_DIR, and take in the example of a registry', async () => {
    expect(await runCommand(['registry', example])).toBe(0);
    expect(out).toBe('The registry document is imported: 1 site, 1 unit.\n');
  });

  it('give back a log that they took in, with its superheat', async () => {
    const log = join(folder, 'log.csv');
    const output = join(folder, 'out.csv');
    // COMPUTED, CoolProp 8.0.0: R513A at 4.0 bar has its dew point at 279.4586 K.
    await writeFile(
      log,
      'time,suction_pressure_Pa,suction_temperature_C,valve_opening_pct\n2026-03-02T10:00:00Z,400000,14.5,42\n2026-03-02T10:00:10Z,400000,,43\n',
    );
    expect(await runCommand(['import', log, ...circuit, '--refrigerant', 'R513A'])).toBe(0);
    expect(out).toContain('2 of 2 rows are new');
    out = '';
    await runCommand(['import', log, ...circuit]);
    expect(out).toContain('0 of 2 rows are new');
    const span = ['--from', '2026-03-02T09:00:00Z', '--to', '2026-03-02T11:00:00Z'];
    expect(
      await runCommand(['export', 'circuit', 'town-hall/chiller-1/1', ...span, '--output', output]),
    ).toBe(0);
    const [head, first, second] = (await readFile(output, 'utf8')).trim().split('\n');
    const names = head.split(',');
    const value = (row: string, name: string) => row.split(',')[names.indexOf(name)];
    expect(value(first, 'time')).toBe('2026-03-02T10:00:00.000Z');
    expect(value(first, 'suction_pressure_Pa')).toBe('400000');
    expect(Number(value(first, 'superheat_K'))).toBeCloseTo(287.65 - 279.4586, 3);
    expect(value(second, 'suction_temperature_K')).toBe('');
    expect(value(second, 'superheat_K')).toBe('');
    expect(value(second, 'valve_opening_pct')).toBe('43');
  });

  it('store what a log holds of water and condenser, and say what cannot be', async () => {
    const log = join(folder, 'sides.csv');
    await writeFile(
      log,
      'Date,Time,Suction pressure (bar),Leaving water temp (C),Condenser entering temp (C)\n02.03.2026,12:00:00,4.0,7.5,29.5\n02.03.2026,12:00:10,4.0,750,29.5\n',
    );
    const warned: string[] = [];
    vi.spyOn(process.stderr, 'write').mockImplementation((text) => warned.push(String(text)) > 0);
    expect(await runCommand(['import', log, ...circuit])).toBe(0);
    expect(out).toContain('6 of 6 rows are new');
    expect(warned.join('')).toContain('1 value of water leaving-temperature is out of range and not stored.');
    const pool = createPool(address, { max: 1, applicationName: 'test' });
    const { rows } = await pool.query(
      `select (select round(max(leaving_temperature_k)::numeric, 2) from water_reading) as leaving,
              (select round(max(entering_temperature_k)::numeric, 2) from condenser_reading) as entering`,
    );
    await pool.end();
    expect(rows).toEqual([{ leaving: '280.65', entering: '302.65' }]);
  });

  it('say what the registry has otherwise', async () => {
    const log = join(folder, 'log.csv');
    expect(await runCommand(['import', log, ...circuit, '--refrigerant', 'R134a'])).toBe(1);
    expect(said).toContain('The registry says that this unit holds R513A, not R134a');
    said = '';
    expect(await runCommand(['export', 'circuit', 'town-hall/chiller-9/1'])).toBe(1);
    expect(said).toContain('chiller-9');
  });

  it('name the place in a document that cannot be right, and take in nothing of it', async () => {
    const document = JSON.parse(await readFile(example, 'utf8'));
    document.sites[0].key = 'old-town-hall';
    document.sites[0].units[0].circuits[0].valve.kv_m3_h = -5;
    const wrong = join(folder, 'wrong.json');
    await writeFile(wrong, JSON.stringify(document));
    expect(await runCommand(['registry', wrong])).toBe(1);
    expect(said).toMatch(/site "old-town-hall" unit "chiller-1" circuits.*kv_m3_h/);
    said = '';
    expect(await runCommand(['export', 'closings', 'old-town-hall/chiller-1/1'])).toBe(1);
    expect(said).toContain('old-town-hall');
  });

  it('make, list and revoke the key of a gateway, and write Mosquitto’s files', async () => {
    expect(await runCommand(['gateway', 'add', 'nowhere'])).toBe(1);
    expect(said).toContain('There is no site nowhere');
    expect(await runCommand(['gateway', 'add', 'town-hall', '--name', 'Plant room'])).toBe(0);
    const [, password] = /^user +town-hall\.1\npassword +(\S+)$/m.exec(out)!;
    expect(out).toContain('coldrounds/1/town-hall/#');
    out = '';
    expect(await runCommand(['gateway', 'list', 'town-hall'])).toBe(0);
    expect(out).toMatch(/^town-hall\.1\tPlant room\tmade .* by command line\t/);
    expect(out).not.toContain(password);
    vi.stubEnv('MQTT_USERNAME', '');
    expect(await runCommand(['gateway', 'files', join(folder, 'keys')])).toBe(1);
    expect(said).toContain('MQTT_USERNAME and MQTT_PASSWORD');
    vi.stubEnv('MQTT_USERNAME', 'us');
    vi.stubEnv('MQTT_PASSWORD', 'ours');
    expect(await runCommand(['gateway', 'files', join(folder, 'keys')])).toBe(0);
    const lines = async () => (await readFile(join(folder, 'keys', 'passwords'), 'utf8')).trim().split('\n');
    const [own, key] = await lines();
    expect(own).toMatch(/^us:\$7\$/);
    expect(await isPassword(password, key.slice('town-hall.1:'.length))).toBe(true);
    expect(await runCommand(['gateway', 'revoke', 'town-hall'])).toBe(1);
    expect(await runCommand(['gateway', 'revoke', 'town-hall.1'])).toBe(0);
    expect(await runCommand(['gateway', 'revoke', 'town-hall.1'])).toBe(1);
    expect(said).toContain('There is no key town-hall.1 that is still valid');
    expect(await runCommand(['gateway', 'files', join(folder, 'keys')])).toBe(0);
    expect(await lines()).toEqual([own]);
    out = '';
    await runCommand(['gateway', 'list']);
    expect(out).toContain('\trevoked 2');
  });

  it('say where nothing runs', async () => {
    await forget();
    expect(await runCommand(['registry', example])).toBe(1);
    expect(said).toContain(`Coldrounds is not running on the data folder ${folder}`);
  });
});
