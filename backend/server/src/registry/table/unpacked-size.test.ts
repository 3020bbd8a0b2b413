import JSZip from 'jszip';
import { describe, expect, it } from 'vitest';
import { BadEntryError } from '../../people/bad-entry.js';
import { readSpreadsheet, writeWorkbook } from './spreadsheet.js';
import { requireUnpackedSize, TooLargeUnpackedError } from './unpacked-size.js';

const MB = 1024 * 1024;

/** An archive with one entry of so many zeros, which pack to a thousandth. */
const packedZeros = (bytes: number): Promise<Buffer> =>
  new JSZip()
    .file('sheet1.xml', Buffer.alloc(bytes))
    .generateAsync({ type: 'nodebuffer', compression: 'DEFLATE', compressionOptions: { level: 9 } });

/** The same with another unpacked size in its directory and its entry: the bytes 22 and 24 from their signatures (APPNOTE, 4.3.7 and 4.3.12). */
function claiming(archive: Buffer, bytes: number): Buffer {
  const lying = Buffer.from(archive);
  lying.writeUInt32LE(bytes, lying.indexOf('PK\x01\x02', 0, 'latin1') + 24);
  lying.writeUInt32LE(bytes, lying.indexOf('PK\x03\x04', 0, 'latin1') + 22);
  return lying;
}

describe('a packed workbook', () => {
  it('is refused where it is too large unpacked, by what it says of itself', async () => {
    const bomb = await packedZeros(80 * MB);
    expect(bomb.length).toBeLessThan(MB / 2);
    await expect(requireUnpackedSize(bomb, 64 * MB)).rejects.toThrow(TooLargeUnpackedError);
    await expect(readSpreadsheet(bomb)).rejects.toThrow(/more than 64 MB unpacked/);
    await expect(readSpreadsheet(bomb)).rejects.toThrow(BadEntryError);
  });

  it('is refused where it says less than it holds', async () => {
    const lying = claiming(await packedZeros(8 * MB), 1000);
    await expect(requireUnpackedSize(lying, 64 * MB)).rejects.toThrow(TooLargeUnpackedError);
    await expect(readSpreadsheet(lying)).rejects.toThrow(BadEntryError);
  });

  it('is read where it is not', async () => {
    const table = { heads: ['site', 'unit'], rows: [['harbour', 'chiller-1']] };
    expect(await readSpreadsheet(await writeWorkbook(table))).toEqual(table);
    await expect(readSpreadsheet(Buffer.from('PK but no archive'))).rejects.toThrow(/no XLSX workbook/);
  });
});
