import { Controller, Get, Inject, Param, Query, Res, StreamableFile } from '@nestjs/common';
import { ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { Response } from 'express';
import { PassThrough } from 'node:stream';
import {
  exportFormats,
  mediaTypes,
  TakeAwayService,
  type ExportFormat,
} from '../../../export/take-away.service.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { TakeAwayQueryDto } from '../../dto.js';
import { BadParameterError } from '../../errors.js';
import { parsed, span } from '../../parameters.js';

function fileOf(text: string): { table: string; format: ExportFormat } {
  const at = text.lastIndexOf('.');
  const format = exportFormats.find((one) => one === text.slice(at + 1));
  if (at < 1 || format === undefined)
    throw new BadParameterError([{ name: 'file', reason: 'must be a table with .parquet or .csv' }]);
  return { table: text.slice(0, at), format };
}

@ApiTags('export')
@Controller('api/export')
export class TakeAwayController {
  constructor(@Inject(TakeAwayService) private readonly exports: TakeAwayService) {}

  @Get(':file')
  @Allows('read', 'filtered')
  @ApiProduces(...Object.values(mediaTypes))
  @ApiOkResponse({
    schema: { type: 'string', format: 'binary' },
    description:
      'A whole table (docs/data-dictionary.md) as `{table}.parquet` or `{table}.csv`, as it is read; default: the last day',
  })
  async take(
    @Param('file') file: string,
    @Query(parsed(TakeAwayQueryDto)) query: TakeAwayQueryDto,
    @Who() who: Identity,
    @Res({ passthrough: true }) response: Response,
  ) {
    const { site, unit } = query;
    const taken = await this.exports.take(who, { ...fileOf(file), site, unit, span: span(query, 86_400) });
    const stream = new PassThrough({ highWaterMark: 1024 * 1024 });
    // Whoever leaves lets go of the database too.
    response.once('close', () => stream.destroy());
    taken.write(stream).then(
      () => stream.end(),
      (error: Error) => stream.destroy(error),
    );
    return new StreamableFile(stream, {
      type: taken.mediaType,
      disposition: `attachment; filename="${taken.fileName}"`,
    });
  }
}
