import { Body, Controller, Get, HttpCode, Inject, Param, Post, Put, Query, Req } from '@nestjs/common';
import { ApiBody, ApiConsumes, ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { Request } from 'express';
import { ZodResponse } from 'nestjs-zod';
import type { Identity } from '../../../people/identity.js';
import { PointsService } from '../../../registry/sparkplug/points.service.js';
import { xlsxType } from '../../../registry/table/spreadsheet.js';
import { Allows, Who } from '../../access/allows.js';
import {
  PointTableOutcomeDto,
  PointTableQueryDto,
  SparkplugMetricsDto,
  SparkplugNodeQueryDto,
  UnitPointsDto,
  UnitPointsWishDto,
} from '../../dto.js';
import { fileOf, spreadsheetBody, spreadsheetDownload } from '../../file-body.js';
import { parsed } from '../../parameters.js';

@ApiTags('registry')
@Controller('api/registry')
export class SparkplugController {
  constructor(@Inject(PointsService) private readonly points: PointsService) {}

  @Get('sites/:site/units/:unit/sparkplug')
  @ZodResponse({
    status: 200,
    type: UnitPointsDto,
    description:
      'Which metrics of Sparkplug B are which quantities of a unit, and which edge nodes are heard',
  })
  unit(@Param('site') site: string, @Param('unit') unit: string, @Who() who: Identity) {
    return this.points.unit(who, { site, unit });
  }

  @Get('sites/:site/units/:unit/sparkplug/metrics')
  @ZodResponse({
    status: 200,
    type: SparkplugMetricsDto,
    description:
      'The metrics that an edge node or device announced, each with what it probably is of the unit',
  })
  metrics(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Query(parsed(SparkplugNodeQueryDto)) { group, edge, device }: SparkplugNodeQueryDto,
    @Who() who: Identity,
  ) {
    return this.points.metrics(who, { site, unit }, { group, edge, device: device ?? '' });
  }

  @Put('sites/:site/units/:unit/sparkplug')
  @Allows('register')
  @ZodResponse({
    status: 200,
    type: UnitPointsDto,
    description: 'The unit with these metrics and no others. 409: somebody changed it meanwhile; read again',
  })
  async change(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Body(parsed(UnitPointsWishDto)) { points, ...because }: UnitPointsWishDto,
    @Who() who: Identity,
  ) {
    await this.points.change(who, { site, unit }, points, because);
    return this.points.unit(who, { site, unit });
  }

  @Post('sparkplug/preview')
  @HttpCode(200)
  @Allows('register', 'filtered')
  @ApiConsumes('application/octet-stream')
  @ApiBody(spreadsheetBody)
  @ZodResponse({
    status: 200,
    type: PointTableOutcomeDto,
    description: 'What a spreadsheet of metrics would change, and what is wrong in it; writes nothing',
  })
  preview(@Req() request: Request, @Who() who: Identity) {
    return this.points.table(who, fileOf(request), null);
  }

  @Post('sparkplug')
  @HttpCode(200)
  @Allows('register', 'filtered')
  @ApiConsumes('application/octet-stream')
  @ApiBody(spreadsheetBody)
  @ZodResponse({
    status: 200,
    type: PointTableOutcomeDto,
    description:
      'The spreadsheet, read in as a whole: the rows of a unit are all of its metrics. 400 while anything in it is wrong',
  })
  apply(
    @Req() request: Request,
    @Query(parsed(PointTableQueryDto)) { reason }: PointTableQueryDto,
    @Who() who: Identity,
  ) {
    return this.points.table(who, fileOf(request), reason);
  }

  @Get('sparkplug.csv')
  @Allows('read', 'filtered')
  @ApiProduces('text/csv')
  @ApiOkResponse({
    schema: { type: 'string' },
    description: 'All metrics, as `POST /api/registry/sparkplug` reads them',
  })
  async csv(@Who() who: Identity) {
    return spreadsheetDownload('sparkplug', 'csv', await this.points.export(who, 'csv'));
  }

  @Get('sparkplug.xlsx')
  @Allows('read', 'filtered')
  @ApiProduces(xlsxType)
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' }, description: 'The same as a workbook' })
  async xlsx(@Who() who: Identity) {
    return spreadsheetDownload('sparkplug', 'xlsx', await this.points.export(who, 'xlsx'));
  }
}
