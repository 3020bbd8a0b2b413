import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { format, resolveConfig } from 'prettier';
import { describe, expect, it } from 'vitest';
import { dataDictionary } from '../dictionary.js';
import { datasets } from './index.js';

/** Units of SenML (RFC 8428, RFC 8798) and three that it has not: minutes, years, and per day. */
const units = [
  'Pa',
  'K',
  '%',
  'm3/s',
  'm3/h',
  'W',
  'V',
  'A',
  'F',
  'Ohm',
  'J',
  's',
  'm',
  '1',
  'min',
  'a',
  '1/d',
];
const ofSuffix: [RegExp, string][] = [
  [/_k$/, 'K'],
  [/_pa$/, 'Pa'],
  [/_pct$/, '%'],
  [/_w$/, 'W'],
  [/_v$/, 'V'],
  [/_s$/, 's'],
  [/_min$/, 'min'],
  [/_ohm$/, 'Ohm'],
  [/_f$/, 'F'],
  [/_j$/, 'J'],
];

describe('tables to be taken away', () => {
  it('have names of their own, and each column a meaning in a sentence', () => {
    expect(new Set(datasets.map(({ name }) => name)).size).toBe(datasets.length);
    for (const { name, columns } of datasets) {
      expect(new Set(columns.map((column) => column.name)).size, name).toBe(columns.length);
      for (const column of columns) expect(column.meaning, `${name}.${column.name}`).toMatch(/\.$/);
    }
  });

  it('say the unit of each number that has one, the same as its name does', () => {
    for (const { name, columns } of datasets)
      for (const column of columns) {
        if (column.unit !== undefined) expect(units, `${name}.${column.name}`).toContain(column.unit);
        if (column.type !== 'real' && column.type !== 'double') continue;
        const suffix = ofSuffix.find(([pattern]) => pattern.test(column.name));
        if (suffix !== undefined && !/^m3|m3_/.test(column.name))
          expect(column.unit, `${name}.${column.name}`).toBe(/_m3_s$/.test(column.name) ? 'm3/s' : suffix[1]);
      }
  });

  it('can be joined: place and time mean the same in all of them', () => {
    for (const { name, columns } of datasets) {
      expect(
        columns.slice(0, 2).map((column) => column.name),
        name,
      ).toEqual(['site', 'unit']);
      const time = columns.find((column) => column.name === 'time');
      if (time !== undefined) expect(time.type, name).toBe('time');
    }
  });
});

describe('the data dictionary', () => {
  it('is as the code has it; npm run openapi makes it anew', async () => {
    const path = fileURLToPath(new URL('../../../../../docs/data-dictionary.md', import.meta.url));
    const options = await resolveConfig(path);
    expect(readFileSync(path, 'utf8')).toBe(await format(dataDictionary(), { ...options, filepath: path }));
  });
});
