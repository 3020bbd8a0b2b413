import { Body, Controller, Get, Inject, Param, Post, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { causeName, causes } from '@coldrounds/core';
import { ZodResponse } from 'nestjs-zod';
import type { z } from 'zod';
import { AccuracyService } from '../../../decisions/accuracy/accuracy.service.js';
import { DecisionService, type Wish } from '../../../decisions/decision.service.js';
import type { Identity } from '../../../people/identity.js';
import { FleetService } from '../../../registry/fleet.service.js';
import { Allows, Who } from '../../access/allows.js';
import {
  AccuracyDto,
  CauseListDto,
  DecisionWishDto,
  FindingDecisionsDto,
  StandingListDto,
  StandingQueryDto,
} from '../../dto.js';
import { parsed } from '../../parameters.js';
import type { decisionWishSchema } from '../../schemas/index.js';

type Sent = z.output<typeof decisionWishSchema>;

const wishOf = (sent: Sent): Wish => {
  if (sent.kind === 'hand-over') return { ...sent, reason: sent.reason ?? null };
  if (sent.kind !== 'close') return sent;
  const readings = (sent.readings ?? []).map((reading) => ({
    ...reading,
    reference: reading.reference ?? ('absolute' as const),
  }));
  return { ...sent, parts: sent.parts ?? [], readings };
};

@ApiTags('decisions')
@Controller('api')
export class DecisionController {
  constructor(
    @Inject(AccuracyService) private readonly accuracies: AccuracyService,
    @Inject(DecisionService) private readonly decisions: DecisionService,
    @Inject(FleetService) private readonly fleet: FleetService,
  ) {}

  @Get('findings/:id/decisions')
  @Allows('read', 'finding')
  @ZodResponse({ status: 200, type: FindingDecisionsDto, description: 'What was decided on a finding' })
  ofFinding(@Param('id') id: string) {
    return this.decisions.ofFinding(id);
  }

  @Post('findings/:id/decisions')
  @Allows('note', 'finding')
  @ZodResponse({
    status: 201,
    type: FindingDecisionsDto,
    description:
      'Hand over, put off, accept, close with what the visit found, or note. 409: somebody decided meanwhile; read again',
  })
  decide(
    @Param('id') id: string,
    @Body(parsed(DecisionWishDto)) body: DecisionWishDto,
    @Who() who: Identity,
  ) {
    const sent = body as Sent;
    return this.decisions.decide(id, wishOf(sent), sent.key ?? null, who);
  }

  @Get('diagnoses/:id/decisions')
  @Allows('read', 'diagnosis')
  @ZodResponse({ status: 200, type: FindingDecisionsDto, description: 'What was decided on a diagnosis' })
  async ofDiagnosis(@Param('id') id: string) {
    return this.decisions.ofFinding(await this.decisions.findingOfDiagnosis(id));
  }

  @Post('diagnoses/:id/decisions')
  @Allows('note', 'diagnosis')
  @ZodResponse({
    status: 201,
    type: FindingDecisionsDto,
    description:
      'The same as on a finding: decided on the one that leads the diagnosis, which the answer names as `finding`',
  })
  async decideOnDiagnosis(
    @Param('id') id: string,
    @Body(parsed(DecisionWishDto)) body: DecisionWishDto,
    @Who() who: Identity,
  ) {
    return this.decide(await this.decisions.findingOfDiagnosis(id), body, who);
  }

  @Get('standings')
  @Allows('read', 'filtered')
  @ZodResponse({ status: 200, type: StandingListDto, description: 'Where some findings stand' })
  standings(@Query(parsed(StandingQueryDto)) { findings }: StandingQueryDto, @Who() who: Identity) {
    return this.decisions.standings(findings.split(','), who);
  }

  @Get('units/:site/:unit/decisions')
  @ZodResponse({ status: 200, type: StandingListDto, description: "What was decided on a unit's findings" })
  async ofUnit(@Param('site') site: string, @Param('unit') unit: string) {
    return this.decisions.ofUnit((await this.fleet.unit({ site, unit })).id);
  }

  @Get('accuracy')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: AccuracyDto,
    description: 'How often what was said was right, by visits',
  })
  accuracy(@Who() { sites }: Identity) {
    return this.accuracies.accuracy(sites);
  }

  @Get('causes')
  @Allows('read', 'no-site')
  @ZodResponse({ status: 200, type: CauseListDto, description: 'What can be wrong, in words' })
  list() {
    return { causes: causes.map((cause) => ({ cause, name: causeName(cause) })) };
  }
}
