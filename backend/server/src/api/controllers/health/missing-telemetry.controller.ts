import { Controller, Get, Inject } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { MissingTelemetryDto } from '../../dto.js';
import { MissingTelemetryService } from '../../../pages/missing-telemetry.service.js';

@ApiTags('state')
@Controller('api')
export class MissingTelemetryController {
  constructor(@Inject(MissingTelemetryService) private readonly service: MissingTelemetryService) {}

  @Get('missing-telemetry')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: MissingTelemetryDto,
    description:
      'Samples of the last day that did not come, by unit and hour, messages that a broker dropped, and what was not judged',
  })
  missing(@Who() { sites }: Identity) {
    return this.service.missing(sites);
  }
}
