import { Controller, Get, Inject, Res } from '@nestjs/common';
import { ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import type { Response } from 'express';
import { MetricsService } from '../../../live/metrics.service.js';
import { AllowsAtThisMachine } from '../../access/allows.js';

@ApiTags('state')
@Controller()
export class MetricsController {
  constructor(@Inject(MetricsService) private readonly service: MetricsService) {}

  @Get('metrics')
  @AllowsAtThisMachine('metrics')
  @ApiProduces('application/openmetrics-text')
  @ApiOkResponse({
    description: 'Lag, due work, failures and sizes as OpenMetrics text',
    schema: { type: 'string' },
  })
  async metrics(@Res() response: Response): Promise<void> {
    const text = await this.service.text();
    response.set({ 'Content-Type': this.service.contentType, 'Cache-Control': 'no-store' }).end(text);
  }
}
