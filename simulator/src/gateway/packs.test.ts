import { describe, expect, it } from 'vitest';
import { decodeSenml } from '@coldrounds/core/telemetry';
import { circuitColumns, encodeBackup, encodePresence, encodeRows, newRows } from './packs.js';

describe('packs', () => {
  const rows = newRows(circuitColumns.length, 3);
  rows.length = 3;
  rows.time_s.set([1000, 1010, 1020].map((time) => 1.79e9 + time));
  rows.values.forEach((values, i) => values.set([300 + i, 301 + i, NaN]));

  it('are SenML that says each value with its name, unit and time', () => {
    const pack = encodeRows('site/unit/circuits/1', circuitColumns, rows);
    const records = decodeSenml(JSON.parse(pack!), 0);
    expect(records).toHaveLength(2 * circuitColumns.length);
    expect(records[2]).toMatchObject({
      name: 'site/unit/circuits/1/suction-temperature',
      unit: 'Cel',
      time_s: 1.79e9 + 1000,
      value: 27.85,
    });
    expect(records[1]).toMatchObject({
      name: 'site/unit/circuits/1/suction-pressure',
      unit: 'Pa',
      value: 301,
    });
  });

  it('leave out rows that are missing, and are not made of nothing', () => {
    const pack = encodeRows('a/b', circuitColumns, rows, (row) => row === 0);
    const records = decodeSenml(JSON.parse(pack!), 0);
    expect(new Set(records.map((record) => record.time_s))).toEqual(new Set([1.79e9 + 1010]));
    expect(encodeRows('a/b', circuitColumns, rows, () => true)).toBeNull();
    expect(encodeBackup('a/b', [])).toBeNull();
  });

  it('carry switches and presence as true or false', () => {
    const reading = {
      voltage_V: 20,
      current_A: -0.0004,
      temperature_K: 298.15,
      mains: 1,
      health: 0,
    } as const;
    const records = decodeSenml(JSON.parse(encodeBackup('a/b', [{ time_s: 1.79e9, reading }])!), 0);
    expect(records.map((record) => record.value)).toEqual([20, -0.0004, 25, true, false]);
    expect(decodeSenml(JSON.parse(encodePresence('a/b', true, 1.79e9)), 0)[0]).toMatchObject({
      value: true,
      time_s: 1.79e9,
    });
  });
});
