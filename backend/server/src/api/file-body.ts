import { StreamableFile } from '@nestjs/common';
import type { Request } from 'express';
import { mediaTypes } from '../export/take-away.service.js';
import { xlsxType } from '../registry/table/spreadsheet.js';
import { BadParameterError } from './errors.js';

/** A spreadsheet as the body of a request, for the OpenAPI document. */
export const spreadsheetBody = {
  schema: { type: 'string' as const, format: 'binary' },
  description: 'CSV or XLSX',
};

/** The file that was sent as the body. */
export function fileOf({ body }: Request): Buffer {
  if (!Buffer.isBuffer(body) || body.length === 0)
    throw new BadParameterError([
      { name: 'file', reason: 'is missing: send CSV or XLSX as application/octet-stream' },
    ]);
  return body;
}

const spreadsheetTypes = { csv: mediaTypes.csv, xlsx: xlsxType };

/** A spreadsheet to download, in the form in which it can be sent back. */
export const spreadsheetDownload = (
  name: string,
  form: keyof typeof spreadsheetTypes,
  content: string | Buffer,
): StreamableFile =>
  new StreamableFile(Buffer.from(content), {
    type: spreadsheetTypes[form],
    disposition: `attachment; filename="${name}.${form}"`,
  });
