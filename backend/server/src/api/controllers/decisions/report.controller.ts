import { Controller, Get, Inject, Param, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { SiteReportService } from '../../../pages/report/site-report.service.js';
import { SiteReportDto, SiteReportQueryDto } from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('report')
@Controller('api')
export class ReportController {
  constructor(@Inject(SiteReportService) private readonly reports: SiteReportService) {}

  @Get('sites/:site/report')
  @ZodResponse({
    status: 200,
    type: SiteReportDto,
    description: 'What was found, done, proven and saved at one site over some days',
  })
  report(@Param('site') site: string, @Query(parsed(SiteReportQueryDto)) days: SiteReportQueryDto) {
    return this.reports.report(site, days);
  }
}
