import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { databaseProblem, runCommand } from './cli.js';

let out: string;
let said: string;
beforeEach(() => {
  out = '';
  said = '';
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    out += String(text);
    return true;
  });
  vi.spyOn(console, 'error').mockImplementation((text) => {
    said += `${text}\n`;
  });
});
afterEach(() => vi.restoreAllMocks());

const line = (name: string) =>
  out
    .split('\n')
    .find((each) => each.includes(name))
    ?.trim();

describe('coldrounds properties', () => {
  const properties = (...words: string[]) => runCommand(['properties', ...words]);

  it('gives dew and bubble point of R454B at 8.57 bar: 5.000 and 3.521 C (COMPUTED, CoolProp 8.0.0)', async () => {
    expect(await properties('--refrigerant', 'R454B', '--pressure', '8.57bar')).toBe(0);
    expect(line('dew point')).toMatch(/ 5\.00 °C$/);
    expect(line('bubble point')).toMatch(/ 3\.52 °C$/);
  });

  it('answers in inch-pound where asked so: R134a at 60 psig boils at 62.00 F at sea level, at 60.01 F 1600 m up', async () => {
    // COMPUTED, CoolProp 8.0.0; 83,524 Pa at 1600 m by the ICAO standard atmosphere.
    await properties('--refrigerant', 'r134a', '--pressure', '60psig');
    expect(line('dew point')).toMatch(/ 62\.00 °F$/);
    out = '';
    await properties('--refrigerant', 'r134a', '--pressure', '60 psig', '--altitude', '1600');
    expect(line('dew point')).toMatch(/ 60\.01 °F$/);
  });

  it('asks for the unit of a bare number', async () => {
    expect(await properties('--refrigerant', 'R454B', '--pressure', '8.57')).toBe(1);
    expect(said).toContain('Cannot read "8.57"');
    expect(out).toBe('');
  });

  it('says how far it knows, in the units of the question', async () => {
    expect(await properties('--refrigerant', 'R454B', '--pressure', '500bar')).toBe(1);
    expect(said).toMatch(
      /^500\.000 bar is outside the property table of R454B, which covers 0\.\d+ bar to \d+\.\d+ bar\.$/m,
    );
    said = '';
    await properties('--refrigerant', 'R454B', '--temperature', '400F');
    expect(said).toMatch(/^400\.00 °F is outside .*°F to .*°F\.$/m);
  });

  it('offers the nearest names for one that it does not know', async () => {
    expect(await properties('--refrigerant', 'R1234ze', '--pressure', '3bar')).toBe(1);
    expect(said).toContain('Did you mean R1234ze(E)');
  });
});

describe('coldrounds assess', () => {
  let folder: string;
  beforeEach(async () => void (folder = await mkdtemp(join(tmpdir(), 'coldrounds-log-'))));
  afterEach(() => rm(folder, { recursive: true, force: true }));

  const assess = async (text: string, ...words: string[]) => {
    const path = join(folder, 'log.csv');
    await writeFile(path, text);
    return runCommand(['assess', path, '--refrigerant', 'R134a', ...words]);
  };
  /** Two hours at 3.5 bar; suction gas swings by 1.5 K to either side every 300 s, the valve with it. */
  const hunting = (separator: string, decimal: (value: number) => string) =>
    [
      ['time_s', 'suction_pressure_Pa', 'suction_temperature_C', 'valve_opening_pct'].join(separator),
      ...Array.from({ length: 720 }, (_, i) => {
        const turn = (2 * Math.PI * i * 10) / 300;
        return [
          String(i * 10),
          '350000',
          decimal(12 + 1.5 * Math.sin(turn) + 0.02 * ((i * 7) % 5)),
          decimal(45 + 3 * Math.sin(turn + 1)),
        ].join(separator);
      }),
    ].join('\n');

  it('finds the swing that the log was made with', async () => {
    expect(await assess(hunting(',', (value) => value.toFixed(3)))).toBe(0);
    const [window] = JSON.parse(out).windows;
    expect(window.oscillation.oscillating).toBe(true);
    expect(window.oscillation.period_s / 300).toBeCloseTo(1, 1);
    expect(window.oscillation.amplitude / 1.5).toBeCloseTo(1, 1);
    // COMPUTED, CoolProp 8.0.0: R134a at 3.5 bar has its dew point at 278.18 K.
    expect(window.superheat.mean_K).toBeCloseTo(285.15 + 0.04 - 278.18, 1);
  });

  it('reads decimal commas between semicolons as it reads points between commas', async () => {
    await assess(hunting(',', (value) => value.toFixed(3)));
    const withPoints = out;
    out = '';
    await assess(hunting(';', (value) => value.toFixed(3).replace('.', ',')));
    expect(out).toBe(withPoints);
  });

  it('says too little where a log is too short to judge', async () => {
    await assess(
      'time_s,suction_pressure_Pa,suction_temperature_K,valve_opening_pct\n0,350000,285,45\n10,350000,285,45',
    );
    const [window] = JSON.parse(out).windows;
    expect(window.oscillation.oscillating).toBeNull();
    expect(window.oscillation.period_s).toBeNull();
  });

  it.each([
    ['', /is empty/],
    ['a,b\n"unfinished', /is not a CSV table/],
    ['time_s,time_s\n0,0', /two columns named "time_s"/],
  ])('refuses %j with a sentence', async (text, sentence) => {
    expect(await assess(text)).toBe(1);
    expect(said).toMatch(sentence);
  });

  const seen = async (name: string, content: string | Uint8Array, ...words: string[]) => {
    const path = join(folder, name);
    await writeFile(path, content);
    expect(await runCommand(['assess', path, '--refrigerant', 'R134a', ...words])).toBe(0);
    return JSON.parse(out) as {
      from_s: number;
      samples: number;
      warnings: string[];
      columns: { column: string }[];
    };
  };

  it('asks for the order of day and month, and reads what lies above the header', async () => {
    const text =
      'Site;Plant room\n\nDate;Time;Suction pressure [bar(g)];Suction temp. [°C];\n02.03.2026;14:00:00;2,5;8,5;\n02.03.2026;14:00:30;2,5;Bad;\n';
    const { from_s, samples, warnings, columns } = await seen('points.csv', text);
    expect([from_s, samples]).toEqual([Date.UTC(2026, 2, 2, 14) / 1000, 2]);
    expect(columns.map(({ column }) => column)).toEqual(['suctionPressure_Pa', 'suctionTemperature_K']);
    expect(warnings.join()).toContain('1 cell of column "Suction temp. [°C]" holds no number ("Bad" 1).');
    out = '';
    const strokes = text.replaceAll('02.03.2026', '02/03/2026');
    await writeFile(join(folder, 'strokes.csv'), strokes);
    expect(await runCommand(['assess', join(folder, 'strokes.csv'), '--refrigerant', 'R134a'])).toBe(1);
    expect(said).toContain('--dates dmy or --dates mdy');
    expect((await seen('strokes.csv', strokes, '--dates', 'mdy')).from_s).toBe(
      Date.UTC(2026, 1, 3, 14) / 1000,
    );
  });

  it('reads a workbook, and headers by a mapping', async () => {
    const { default: exceljs } = await import('exceljs');
    const workbook = new exceljs.Workbook();
    const sheet = workbook.addWorksheet('Log');
    sheet.addRow(['Plant room']);
    sheet.addRow(['Date', 'P1', 'T1']);
    for (let k = 0; k < 5; k += 1) sheet.addRow([new Date(Date.UTC(2026, 2, 2, 14, k)), 36.3, 46.8]);
    const map = join(folder, 'map.json');
    await writeFile(map, JSON.stringify({ P1: 'suction_pressure_psig', T1: 'suction_temperature_F' }));
    const content = new Uint8Array(await workbook.xlsx.writeBuffer());
    const { from_s, samples, columns } = await seen('log.xlsx', content, '--columns', map);
    expect([from_s, samples]).toEqual([Date.UTC(2026, 2, 2, 14) / 1000, 5]);
    expect(columns).toHaveLength(2);
  });

  it.each([
    ['log.xlsx', 'no workbook', [], /is not an XLSX workbook/],
    ['log.csv', 'time_s,P1\n0,1', ['--columns', 'none.json'], /Cannot read none\.json/],
  ])('refuses %s of "%s" with a sentence', async (name, content, words, sentence) => {
    await writeFile(join(folder, name), content);
    expect(await runCommand(['assess', join(folder, name), '--refrigerant', 'R134a', ...words])).toBe(1);
    expect(said).toMatch(sentence);
  });

  it('names a file that is not there', async () => {
    expect(await runCommand(['assess', join(folder, 'none.csv'), '--refrigerant', 'R134a'])).toBe(1);
    expect(said).toMatch(/Cannot read .*none\.csv/);
  });
});

describe('a command whose database cannot be reached', () => {
  it('says in one line that the host of DATABASE_URL does not exist', async () => {
    vi.stubEnv('DATABASE_URL', 'postgresql://nobody@no-such-host.invalid/none');
    // Names under .invalid never exist (RFC 2606).
    expect(await runCommand(['migrate'])).toBe(1);
    vi.unstubAllEnvs();
    expect(said.trim().split('\n')).toHaveLength(1);
    expect(said).toMatch(/host .*(cannot be found|cannot be reached)/);
  }, 120_000);

  it('names the host, and tells it from a server that does not answer or has no such database', () => {
    const error = (code: string, more = {}) => Object.assign(new Error('stack and all'), { code, ...more });
    expect(databaseProblem(error('ENOTFOUND', { hostname: 'db.example' }))).toContain('db.example');
    expect(databaseProblem(error('ECONNREFUSED'))).toMatch(/does not answer/);
    expect(databaseProblem(error('3D000'))).toMatch(/does not exist/);
    expect(databaseProblem(new Error('anything else'))).toBeNull();
  });
});
