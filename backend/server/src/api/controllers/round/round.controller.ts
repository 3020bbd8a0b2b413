import {
  Controller,
  Get,
  Headers,
  Inject,
  Param,
  Query,
  Req,
  Sse,
  UseInterceptors,
  type MessageEvent,
} from '@nestjs/common';
import { ApiOkResponse, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { Observable } from 'rxjs';
import {
  ChangeQueryDto,
  ChangesDto,
  EventQueryDto,
  EvidenceListDto,
  EvidenceListQueryDto,
  EvidenceQueryDto,
  FindingEvidenceDto,
  FindingHistoryDto,
  FindingQueryDto,
  HealthDto,
  LiveEventDto,
  NearbySitesDto,
  PortfolioDto,
  PortfolioQueryDto,
  ProgressDto,
  RoundDto,
  RoundQueryDto,
} from '../../dto.js';
import { Allows, Public, Who, type IdentifiedRequest } from '../../access/allows.js';
import { parsed, pastInstant_s, unitPath } from '../../parameters.js';
import { RoundTag } from '../../round-tag.js';
import { EvidenceService } from '../../../pages/evidence/evidence.service.js';
import { ChangeService } from '../../../pages/round/change.service.js';
import { FindingService } from '../../../pages/round/finding.service.js';
import { PortfolioService } from '../../../pages/portfolio/portfolio.service.js';
import { HealthService } from '../../../live/health.service.js';
import { LiveHub } from '../../../live/live-hub.js';
import { ProgressService } from '../../../live/progress.service.js';
import { seesUnit, type Identity } from '../../../people/identity.js';
import { NotKnownError } from '../../../registry/fleet.service.js';
import { RoundService } from '../../../pages/round/round.service.js';

@ApiTags('round')
@Controller('api')
export class RoundController {
  constructor(
    @Inject(RoundService) private readonly rounds: RoundService,
    @Inject(FindingService) private readonly findings: FindingService,
    @Inject(EvidenceService) private readonly evidence: EvidenceService,
    @Inject(ChangeService) private readonly changes: ChangeService,
    @Inject(PortfolioService) private readonly portfolios: PortfolioService,
  ) {}

  @Get('rounds')
  @Allows('read', 'filtered')
  @UseInterceptors(RoundTag)
  @ZodResponse({ status: 200, type: RoundDto, description: 'The ranked list of units that need attention' })
  round(@Query(parsed(RoundQueryDto)) query: RoundQueryDto, @Who() { sites }: Identity) {
    return this.rounds.round({
      at_s: query.at === undefined ? null : pastInstant_s('at', query.at),
      site: query.site,
      sites,
      region: query.region,
      urgency: query.urgency,
      words: query.q,
      sort: query.sort,
      cursor: query.cursor,
      limit: query.limit,
    });
  }

  @Get('changes')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: ChangesDto,
    description: 'Which units are new on the round, worse, better or gone since a moment',
  })
  changesSince(
    @Query(parsed(ChangeQueryDto)) { since, page, limit }: ChangeQueryDto,
    @Who() { sites }: Identity,
  ) {
    return this.changes.since({ since_s: pastInstant_s('since', since), sites, page, limit });
  }

  @Get('portfolio')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: PortfolioDto,
    description: 'Sites or regions: units by urgency, change, proven closings, state of the data',
  })
  portfolio(@Query(parsed(PortfolioQueryDto)) query: PortfolioQueryDto, @Who() { sites }: Identity) {
    return this.portfolios.portfolio({ ...query, sites });
  }

  @Get('sites/:site/nearby')
  @ZodResponse({
    status: 200,
    type: NearbySitesDto,
    description:
      'Sites within 60 km where something is due, nearest first; none where positions are not known',
  })
  nearby(@Param('site') site: string, @Who() { sites }: Identity) {
    return this.portfolios.nearby(site, sites);
  }

  @Get('findings')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: FindingHistoryDto,
    description: 'Findings, open and ended, newest first',
  })
  history(@Query(parsed(FindingQueryDto)) query: FindingQueryDto, @Who() { sites }: Identity) {
    return this.findings.history({
      unit: query.unit === undefined ? undefined : unitPath(query.unit),
      site: query.site,
      sites,
      open: query.open === undefined ? undefined : query.open === 'true',
      urgency: query.urgency,
      words: query.q,
      after: query.after,
      limit: query.limit,
    });
  }

  @Get('findings/:id/evidence')
  @Allows('read', 'finding')
  @ZodResponse({
    status: 200,
    type: FindingEvidenceDto,
    description: "Data of the finding's picture, from the time at which the finding shows best",
  })
  evidenceOf(@Param('id') id: string, @Query(parsed(EvidenceQueryDto)) { at }: EvidenceQueryDto) {
    return this.evidence.of(id, at === undefined ? null : pastInstant_s('at', at));
  }

  @Get('evidence')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: EvidenceListDto,
    description: 'The same for several findings at once; those that are not there are left out',
  })
  evidenceOfSeveral(
    @Query(parsed(EvidenceListQueryDto)) { findings }: EvidenceListQueryDto,
    @Who() who: Identity,
  ) {
    return this.evidence.several(findings.split(','), who);
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
  @Public()
  @ZodResponse({
    status: 200,
    type: HealthDto,
    description: 'Whether this process is running and which services it is connected to',
  })
  health() {
    return this.healthReader.health();
  }

  @Get('progress')
  @Allows('read', 'no-site')
  @ZodResponse({
    status: 200,
    type: ProgressDto,
    description: 'How much telemetry is stored and how much of it has been judged',
  })
  progress() {
    return this.progressReader.progress();
  }

  @Sse('events')
  @Allows('read', 'filtered')
  @ApiOkResponse({
    type: LiveEventDto.Output,
    description:
      'Server-sent events; data is JSON. Event ids number the changes of the round: a client that reconnects with the ' +
      'last id it received (`Last-Event-ID`, or `since`) gets the events it missed, or `read-again`.',
  })
  stream(
    @Query(parsed(EventQueryDto)) { unit, since }: EventQueryDto,
    @Who() who: Identity,
    @Req() request: IdentifiedRequest,
    @Headers('last-event-id') lastId?: string,
  ): Observable<MessageEvent> {
    if (unit !== undefined && !seesUnit(who, unit)) throw new NotKnownError('There is no such unit.');
    const known = /^\d{1,15}$/.test(lastId ?? '') ? Number(lastId) : since;
    return new Observable((subscriber) => {
      const end = () => subscriber.complete();
      // A session that ends while a page is open takes the page's stream with it.
      const watch = setInterval(() => {
        request.identifyAgain?.().then((now) => now ?? end(), end);
      }, stillThere_ms).unref();
      const stop = this.events.listen(
        { unit, since: known },
        ({ type, data, id }) => subscriber.next({ type, data: forReader(who, data), id }),
        end,
      );
      return () => {
        clearInterval(watch);
        stop();
      };
    });
  }
}

const stillThere_ms = 60_000;

/** An event without the units that its reader may not see. */
const forReader = (who: Identity, data: object): object =>
  who.sites !== null && 'units' in data && Array.isArray(data.units)
    ? { ...data, units: (data.units as string[]).filter((unit) => seesUnit(who, unit)) }
    : data;
