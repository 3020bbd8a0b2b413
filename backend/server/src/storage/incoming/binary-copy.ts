import type { CompleteRows } from './series-rows.js';
import type { TelemetryTable } from '../schema/telemetry-tables.js';

/** PostgreSQL counts time from 2000-01-01. */
const postgresEpoch_ms = 946_684_800_000;
const signature = Buffer.from([0x50, 0x47, 0x43, 0x4f, 0x50, 0x59, 0x0a, 0xff, 0x0d, 0x0a, 0x00]);

/** All columns of a table, in the order in which `encodeRows` writes them. */
export const allColumns = (table: TelemetryTable): string[] => [
  table.owner,
  'time',
  ...table.columns.map((column) => column.name),
  ...table.differences.map((column) => column.name),
];

/**
 * Rows as the body of `copy … from stdin (format binary)` (PostgreSQL manual, COPY, Binary Format). Binary spares both
 * sides the decimal text of 15 numbers a row, which costs more than all the rest.
 */
export function encodeRows(table: TelemetryTable, runs: readonly CompleteRows[]): Buffer {
  const types = [
    ...table.columns.map((column) => column.type),
    ...table.differences.map(() => 'real' as const),
  ];
  const count = runs.reduce((sum, run) => sum + run.length, 0);
  const buffer = Buffer.allocUnsafe(signature.length + 8 + count * (2 + 8 + 12 + types.length * 8) + 2);
  signature.copy(buffer);
  const view = new DataView(buffer.buffer, buffer.byteOffset, buffer.byteLength);
  let at = signature.length;
  view.setInt32(at, 0); // flags
  view.setInt32(at + 4, 0); // length of the header's extension
  at += 8;
  for (const run of runs) {
    for (let row = 0; row < run.length; row++) {
      view.setInt16(at, types.length + 2);
      view.setInt32(at + 2, 4);
      view.setInt32(at + 6, run.ownerId);
      view.setInt32(at + 10, 8);
      const time_us = (run.time_ms[row] - postgresEpoch_ms) * 1000;
      view.setInt32(at + 14, Math.floor(time_us / 2 ** 32));
      view.setUint32(at + 18, time_us - Math.floor(time_us / 2 ** 32) * 2 ** 32);
      at += 22;
      for (let c = 0; c < types.length; c++) {
        const value = run.columns[c][row];
        if (Number.isNaN(value)) {
          view.setInt32(at, -1);
          at += 4;
        } else if (types[c] === 'real') {
          view.setInt32(at, 4);
          view.setFloat32(at + 4, value);
          at += 8;
        } else {
          view.setInt32(at, 1);
          view.setUint8(at + 4, value === 0 ? 0 : 1);
          at += 5;
        }
      }
    }
  }
  view.setInt16(at, -1);
  return buffer.subarray(0, at + 2);
}
