import { Controller, Get, Inject } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { HeardService } from '../../../pages/heard.service.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { HeardListDto } from '../../dto.js';

@ApiTags('registry')
@Controller('api/heard')
export class HeardController {
  constructor(@Inject(HeardService) private readonly heard: HeardService) {}

  @Get()
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: HeardListDto,
    description: 'Senders that are heard and not registered, with what they carry and how often',
  })
  list(@Who() who: Identity) {
    return this.heard.list(who);
  }
}
