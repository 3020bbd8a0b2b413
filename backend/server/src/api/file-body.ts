import type { Request } from 'express';
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
