import { Controller, Get, Inject, Param, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { DataHealthService } from '../../../pages/data-health/data-health.service.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { DataHealthQueryDto, FleetDataHealthDto, SiteDataHealthDto, UnitDataHealthDto } from '../../dto.js';
import { parsed } from '../../parameters.js';

@ApiTags('state')
@Controller('api')
export class DataHealthController {
  constructor(@Inject(DataHealthService) private readonly health: DataHealthService) {}

  @Get('data-health')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: FleetDataHealthDto,
    description:
      'How the telemetry of each unit comes: last message, missing, late, repeated; the worst first',
  })
  fleet(@Query(parsed(DataHealthQueryDto)) { q, ...query }: DataHealthQueryDto, @Who() { sites }: Identity) {
    return this.health.fleet({ ...query, sites, words: q });
  }

  @Get('sites/:site/data-health')
  @ZodResponse({
    status: 200,
    type: SiteDataHealthDto,
    description: 'The same of one site, with the hours of four weeks in which samples came or are missing',
  })
  site(@Param('site') site: string, @Query(parsed(DataHealthQueryDto)) { q, ...query }: DataHealthQueryDto) {
    return this.health.site(site, { ...query, words: q });
  }

  @Get('units/:site/:unit/data-health')
  @ZodResponse({
    status: 200,
    type: UnitDataHealthDto,
    description: 'The same of one unit, with its signals, what was found wrong, and what cannot be judged',
  })
  unit(@Param('site') site: string, @Param('unit') unit: string) {
    return this.health.unit({ site, unit });
  }
}
