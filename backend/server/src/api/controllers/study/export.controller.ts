import { Controller, Get, Header, Inject, Param, ParseIntPipe, Query, StreamableFile } from '@nestjs/common';
import { ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import { BackupExportQueryDto, CircuitStudyQueryDto, WindowsQueryDto } from '../../dto.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { parsed, span } from '../../parameters.js';
import { ExportService } from '../../../study/export.service.js';
import { UnreadService } from '../../../pages/unread.service.js';
import { csv, sheet } from './sheet.js';

@ApiTags('export')
@Controller('api')
export class ExportController {
  constructor(
    @Inject(ExportService) private readonly exports: ExportService,
    @Inject(UnreadService) private readonly unread: UnreadService,
  ) {}

  @Get('units/:site/:unit/circuits/:circuit/series.csv')
  @ApiProduces('text/csv')
  @ApiOkResponse(csv)
  async circuit(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
    @Query(parsed(WindowsQueryDto)) query: WindowsQueryDto,
  ) {
    return sheet(await this.exports.circuitSeries({ site, unit, circuit }, span(query, 86_400)));
  }

  @Get('units/:site/:unit/modules/:module/closings.csv')
  @ApiProduces('text/csv')
  @ApiOkResponse(csv)
  async closings(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('module', ParseIntPipe) module: number,
  ) {
    return sheet(await this.exports.closings({ site, unit, module }));
  }

  @Get('study/circuits.csv')
  @Allows('read', 'filtered')
  @ApiProduces('text/csv')
  @ApiOkResponse(csv)
  async circuitStudy(
    @Query(parsed(CircuitStudyQueryDto)) query: CircuitStudyQueryDto,
    @Who() { sites }: Identity,
  ) {
    return sheet(await this.exports.circuitStudy({ ...query, sites }));
  }

  @Get('study/backup-ageing.csv')
  @Allows('read', 'filtered')
  @ApiProduces('text/csv')
  @ApiOkResponse(csv)
  async backupStudy(
    @Query(parsed(BackupExportQueryDto)) query: BackupExportQueryDto,
    @Who() { sites }: Identity,
  ) {
    return sheet(await this.exports.backupStudy({ ...query, sites }));
  }

  /** Whole and unchanged, as bytes: what could not be read may be anything. */
  @Get('unread-messages/:id/payload')
  @Allows('read', 'filtered')
  @Header('X-Content-Type-Options', 'nosniff')
  @ApiProduces('application/octet-stream')
  @ApiOkResponse({ schema: { type: 'string', format: 'binary' } })
  async payload(@Param('id') id: string, @Who() { sites }: Identity) {
    const message = await this.unread.payload(id, sites);
    return new StreamableFile(message.payload, {
      type: 'application/octet-stream',
      disposition: `attachment; filename="message-${id}.bin"`,
    });
  }
}
