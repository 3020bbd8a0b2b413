import { urgencies } from '@coldrounds/core';
import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { RoundChangeListDto, RoundChangeQueryDto } from '../../dto.js';
import { Allows, Who } from '../../access/allows.js';
import { parsed } from '../../parameters.js';
import { NumberedChangesService } from '../../../live/numbered-changes.service.js';
import { seesUnit, type Identity } from '../../../people/identity.js';

@ApiTags('round')
@Controller('api')
export class RoundChangeController {
  constructor(@Inject(NumberedChangesService) private readonly changes: NumberedChangesService) {}

  @Get('round-changes')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: RoundChangeListDto,
    description:
      'Units whose place on the round changed, by number: asked again with `next`, a program misses none of them',
  })
  async roundChanges(
    @Query(parsed(RoundChangeQueryDto)) { since, limit }: RoundChangeQueryDto,
    @Who() identity: Identity,
  ) {
    const { changes, ...answer } = await this.changes.since(since ?? null, limit);
    return {
      ...answer,
      changes: changes
        .filter(({ unit }) => seesUnit(identity, unit))
        .map(({ id, unit, changedAt, urgency, findings }) => ({
          number: id,
          unit,
          changedAt: changedAt.toISOString(),
          urgency: urgencies[urgency] ?? ('quiet' as const),
          findings,
        })),
    };
  }
}
