import { Controller, Get, HttpCode, Inject, Post, Query, Req } from '@nestjs/common';
import { ApiBody, ApiConsumes, ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { Request } from 'express';
import { ZodResponse } from 'nestjs-zod';
import type { Identity } from '../../../people/identity.js';
import { xlsxType } from '../../../registry/table/spreadsheet.js';
import { TableService } from '../../../registry/table/table.service.js';
import { Allows, Who } from '../../access/allows.js';
import { TableApplyQueryDto, TableOutcomeDto, TablePreviewQueryDto } from '../../dto.js';
import { BadParameterError } from '../../errors.js';
import { fileOf, spreadsheetBody, spreadsheetDownload } from '../../file-body.js';
import { instant_s, parsed } from '../../parameters.js';

/** The file that was sent, and what its columns are. */
const wishOf = (request: Request, mapping: string | undefined) => ({
  content: fileOf(request),
  mapping: mappingOf(mapping),
});

function mappingOf(text: string | undefined): (string | null)[] | null {
  if (text === undefined) return null;
  let read: unknown;
  try {
    read = JSON.parse(text);
  } catch {
    read = null;
  }
  if (!Array.isArray(read) || !read.every((name) => name === null || typeof name === 'string'))
    throw new BadParameterError([{ name: 'mapping', reason: 'must be a JSON array of names and nulls' }]);
  return read as (string | null)[];
}

@ApiTags('registry')
@Controller('api/registry')
export class RegistryTableController {
  constructor(@Inject(TableService) private readonly tables: TableService) {}

  @Post('table/preview')
  @HttpCode(200)
  @Allows('register', 'filtered')
  @ApiConsumes('application/octet-stream')
  @ApiBody(spreadsheetBody)
  @ZodResponse({
    status: 200,
    type: TableOutcomeDto,
    description:
      'What a spreadsheet would add and change, and what is wrong in it, cell by cell; writes nothing',
  })
  preview(
    @Req() request: Request,
    @Query(parsed(TablePreviewQueryDto)) { mapping }: TablePreviewQueryDto,
    @Who() who: Identity,
  ) {
    return this.tables.preview(who, wishOf(request, mapping));
  }

  @Post('table')
  @HttpCode(200)
  @Allows('register', 'filtered')
  @ApiConsumes('application/octet-stream')
  @ApiBody(spreadsheetBody)
  @ZodResponse({
    status: 200,
    type: TableOutcomeDto,
    description: 'The spreadsheet, read in as a whole; 400 and nothing written while anything in it is wrong',
  })
  apply(
    @Req() request: Request,
    @Query(parsed(TableApplyQueryDto)) { mapping, reason, holdsFrom }: TableApplyQueryDto,
    @Who() who: Identity,
  ) {
    const holdsFrom_s = holdsFrom === undefined ? null : instant_s(holdsFrom);
    return this.tables.apply(who, wishOf(request, mapping), { reason, holdsFrom_s });
  }

  @Get('table.csv')
  @Allows('read', 'filtered')
  @ApiProduces('text/csv')
  @ApiOkResponse({
    schema: { type: 'string' },
    description: 'The registry, as `POST /api/registry/table` reads it',
  })
  async csv(@Who() who: Identity) {
    return spreadsheetDownload('registry', 'csv', await this.tables.export(who, 'csv'));
  }

  @Get('table.xlsx')
  @Allows('read', 'filtered')
  @ApiProduces(xlsxType)
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' }, description: 'The same as a workbook' })
  async xlsx(@Who() who: Identity) {
    return spreadsheetDownload('registry', 'xlsx', await this.tables.export(who, 'xlsx'));
  }
}
