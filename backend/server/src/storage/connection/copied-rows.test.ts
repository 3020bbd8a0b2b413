import { describe, expect, it } from 'vitest';
import { copiedRows } from './copied-rows.js';

/** A body as PostgreSQL's manual describes it (COPY, Binary Format): null is a field of length -1. */
function body(rows: readonly (string | null)[][]): Buffer {
  const signature = Buffer.from('PGCOPY\n\xff\r\n\0', 'latin1');
  const number = (value: number, bytes: 2 | 4) => {
    const made = Buffer.alloc(bytes);
    if (bytes === 2) made.writeInt16BE(value);
    else made.writeInt32BE(value);
    return made;
  };
  return Buffer.concat([
    ...[signature, number(0, 4), number(0, 4)],
    ...rows.flatMap((fields) => [
      number(fields.length, 2),
      ...fields.flatMap((text) =>
        text === null ? [number(-1, 4)] : [number(text.length, 4), Buffer.from(text)],
      ),
    ]),
    number(-1, 2),
  ]);
}

async function read(bytes: Buffer, size: number, fields: number): Promise<string[][]> {
  async function* chunks() {
    for (let at = 0; at < bytes.length; at += size) yield bytes.subarray(at, at + size);
  }
  const rows: string[][] = [];
  for await (const row of copiedRows(chunks(), fields))
    rows.push(row.map((field) => Buffer.from(field).toString()));
  return rows;
}

describe('rows of a binary COPY', () => {
  const rows = [
    ['one', 'a'.repeat(300)],
    [null, ''],
    ['three', 'b'.repeat(70_000)],
    ['four', 'c'],
  ];

  it.each([1, 7, 1000, 65_536, 1_000_000])('are the same in chunks of %d bytes', async (size) => {
    expect(await read(body(rows), size, 2)).toEqual(rows.map((row) => row.map((text) => text ?? '')));
  });

  it('are none where the answer has none', async () => {
    expect(await read(body([]), 5, 3)).toEqual([]);
  });
});
