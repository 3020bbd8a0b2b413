import { StreamableFile } from '@nestjs/common';
import { stringify } from 'csv-stringify';
import { Readable } from 'node:stream';
import { parquetOfTable } from '../../../export/files/parquet-of-table.js';
import { mediaTypes } from '../../../export/take-away.service.js';
import type { Table } from '../../../study/export.service.js';

/** How a table is told of in the description of the interface. */
export const csv = {
  schema: { type: 'string' as const },
  description: 'CSV, RFC 4180, header in the first line',
};

/** The same as Parquet. */
export const parquet = {
  schema: { type: 'string' as const, format: 'binary' },
  description: 'The same as Parquet, typed',
};

/** A table as a Parquet file. */
export async function parquetSheet(table: Table): Promise<StreamableFile> {
  return new StreamableFile(await parquetOfTable(table), {
    type: mediaTypes.parquet,
    disposition: `attachment; filename="${table.name}.parquet"`,
  });
}

/** A table as a download, written while it is read. */
export function sheet(table: Table): StreamableFile {
  const lines = stringify({ header: true, columns: table.columns });
  const source = Readable.from(table.rows);
  source.on('error', (error) => lines.destroy(error));
  return new StreamableFile(source.pipe(lines), {
    type: mediaTypes.csv,
    disposition: `attachment; filename="${table.name}.csv"`,
  });
}
