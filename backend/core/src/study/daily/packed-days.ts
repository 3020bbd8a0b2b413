import { dayColumns, type DayColumn, type DaySummary } from './day-summary.js';

/** Days in one row. */
export const blockDays = 28;
const day_s = 86_400;
const columnBytes = 4 * blockDays;

/** Start of the four weeks in which a moment lies: every 28th day since the epoch, 0 h UTC. */
export const blockOf = (time_s: number): number =>
  Math.floor(time_s / (blockDays * day_s)) * blockDays * day_s;

/** Where a column lies in a packed row, in bytes. New columns come after the last. */
export const packedColumn = (name: DayColumn): { offset: number; length: number } => ({
  offset: dayColumns.indexOf(name) * columnBytes,
  length: columnBytes,
});

/**
 * Four weeks of a circuit as bytes: column after column, 28 numbers of four bytes each (IEEE 754, little-endian), NaN for
 * a day or a figure that is not known. Seven digits are kept.
 *
 * @param before the row as it is; null: there is none.
 * @param days with their place in the row, 0 to 27; they replace what was there.
 */
export function packDays(
  before: Uint8Array | null,
  days: readonly { place: number; summary: DaySummary }[],
): Uint8Array {
  const bytes = new Uint8Array(dayColumns.length * columnBytes);
  const view = new DataView(bytes.buffer);
  for (let at = 0; at < bytes.length; at += 4) view.setFloat32(at, NaN, true);
  if (before !== null) bytes.set(before.subarray(0, bytes.length));
  dayColumns.forEach((name, column) => {
    for (const { place, summary } of days)
      view.setFloat32(column * columnBytes + 4 * place, summary[name], true);
  });
  return bytes;
}
