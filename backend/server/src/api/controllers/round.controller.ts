import {
  Controller,
  Get,
  Headers,
  Inject,
  Param,
  Query,
  Sse,
  UseInterceptors,
  type MessageEvent,
} from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { Observable } from 'rxjs';
import {
  EventQueryDto,
  FindingEvidenceDto,
  FindingHistoryDto,
  FindingQueryDto,
  HealthDto,
  LiveEventDto,
  ProgressDto,
  RoundDto,
  RoundQueryDto,
} from '../dto.js';
import { parsed, unitPath } from '../parameters.js';
import { RoundTag } from '../round-tag.js';
import { EvidenceService } from '../../pages/evidence/evidence.service.js';
import { FindingService } from '../../pages/round/finding.service.js';
import { HealthService } from '../../live/health.service.js';
import { LiveHub } from '../../live/live-hub.js';
import { ProgressService } from '../../live/progress.service.js';
import { RoundService } from '../../pages/round/round.service.js';

@ApiTags('round')
@Controller('api')
export class RoundController {
  constructor(
    @Inject(RoundService) private readonly rounds: RoundService,
    @Inject(FindingService) private readonly findings: FindingService,
    @Inject(EvidenceService) private readonly evidence: EvidenceService,
  ) {}

  @Get('rounds')
  @UseInterceptors(RoundTag)
  @ZodResponse({ status: 200, type: RoundDto, description: 'The ranked list of units that need attention' })
  round(@Query(parsed(RoundQueryDto)) query: RoundQueryDto) {
    return this.rounds.round({
      at_s: query.at === undefined ? null : Date.parse(query.at) / 1000,
      site: query.site,
      urgency: query.urgency,
      words: query.q,
      cursor: query.cursor,
      limit: query.limit,
    });
  }

  @Get('findings')
  @ZodResponse({
    status: 200,
    type: FindingHistoryDto,
    description: 'Findings, open and ended, newest first',
  })
  history(@Query(parsed(FindingQueryDto)) query: FindingQueryDto) {
    return this.findings.history({
      unit: query.unit === undefined ? undefined : unitPath(query.unit),
      site: query.site,
      open: query.open === undefined ? undefined : query.open === 'true',
      urgency: query.urgency,
      words: query.q,
      after: query.after,
      limit: query.limit,
    });
  }

  @Get('findings/:id/evidence')
  @ZodResponse({
    status: 200,
    type: FindingEvidenceDto,
    description: "Data of the finding's picture, from the time at which the finding shows best",
  })
  evidenceOf(@Param('id') id: string) {
    return this.evidence.of(id);
  }
}

@ApiTags('state')
@Controller('api')
export class StateController {
  constructor(
    @Inject(HealthService) private readonly healthReader: HealthService,
    @Inject(ProgressService) private readonly progressReader: ProgressService,
    @Inject(LiveHub) private readonly events: LiveHub,
  ) {}

  @Get('health')
  @ZodResponse({
    status: 200,
    type: HealthDto,
    description: 'Whether this process is running and which services it is connected to',
  })
  health() {
    return this.healthReader.health();
  }

  @Get('progress')
  @ZodResponse({
    status: 200,
    type: ProgressDto,
    description: 'How much telemetry is stored and how much of it has been judged',
  })
  progress() {
    return this.progressReader.progress();
  }

  @Sse('events')
  @ApiOkResponse({
    type: LiveEventDto.Output,
    description:
      'Server-sent events; data is JSON. Event ids number the changes of the round: a client that reconnects with the ' +
      'last id it received (`Last-Event-ID`, or `since`) gets the events it missed, or `read-again`.',
  })
  stream(
    @Query(parsed(EventQueryDto)) { unit, since }: EventQueryDto,
    @Headers('last-event-id') lastId?: string,
  ): Observable<MessageEvent> {
    const known = /^\d{1,15}$/.test(lastId ?? '') ? Number(lastId) : since;
    return new Observable((subscriber) =>
      this.events.listen(
        { unit, since: known },
        ({ type, data, id }) => subscriber.next({ type, data, id }),
        () => subscriber.complete(),
      ),
    );
  }
}
