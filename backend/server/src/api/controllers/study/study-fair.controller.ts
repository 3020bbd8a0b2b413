import { Controller, Get, Inject, Param, Query, UseInterceptors } from '@nestjs/common';
import { ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import type { Identity } from '../../../people/identity.js';
import { canBeMoved } from '../../../study/ask/member-figures.js';
import { fieldsOf } from '../../../study/ask/population.js';
import { ChangeEffectService } from '../../../study/fair/change-effect.service.js';
import { ComparisonService } from '../../../study/fair/comparison.service.js';
import { PlaceService } from '../../../study/fair/place.service.js';
import { WearService } from '../../../study/fair/wear.service.js';
import { SurvivalService } from '../../../study/fair/survival.service.js';
import { Allows, Who } from '../../access/allows.js';
import {
  ChangeEffectDto,
  ChangeQueryOfStudyDto,
  ComparisonDto,
  ComparisonQueryDto,
  SurvivalDto,
  SurvivalQueryDto,
  UnitPlacesDto,
  ValveWearDto,
  WearQueryDto,
} from '../../dto.js';
import { BadParameterError } from '../../errors.js';
import { parsed } from '../../parameters.js';
import { survivalQuestionOf, wearQuestionOf } from '../../schemas/study/study-fair.js';
import { csv, sheet } from './sheet.js';
import { WhileAsked } from './while-asked.interceptor.js';
import { questionOf } from '../../schemas/study/study-question.js';

@ApiTags('field study')
@Controller('api')
@UseInterceptors(WhileAsked)
export class StudyFairController {
  constructor(
    @Inject(ComparisonService) private readonly comparisons: ComparisonService,
    @Inject(ChangeEffectService) private readonly changes: ChangeEffectService,
    @Inject(SurvivalService) private readonly survivals: SurvivalService,
    @Inject(WearService) private readonly wears: WearService,
    @Inject(PlaceService) private readonly places: PlaceService,
  ) {}

  @Get('study/comparison')
  @Allows('read', 'filtered')
  @ZodResponse({ status: 200, type: ComparisonDto, description: 'Two groups compared like with like' })
  comparison(@Query(parsed(ComparisonQueryDto)) query: ComparisonQueryDto, @Who() { sites }: Identity) {
    const { first, second, without, split, ...asked } = query;
    if (asked.of === 'sensors') throw wrong('of', 'must be circuits or modules');
    if (!(split in fieldsOf[asked.of])) throw wrong('split', 'must name a field of the registry');
    return this.comparisons.compare({
      ...questionOf({ ...asked, split, picture: 'distribution' }, sites),
      ...{ split, first, second, without },
    });
  }

  @Get('study/change-effect')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: ChangeEffectDto,
    description: 'What a change did to those that had it, against those that did not, over the same dates',
  })
  changeEffect(
    @Query(parsed(ChangeQueryOfStudyDto)) query: ChangeQueryOfStudyDto,
    @Who() { sites }: Identity,
  ) {
    const { change, became, span, ...asked } = query;
    if (asked.of === 'sensors') throw wrong('of', 'must be circuits or modules');
    if (!canBeMoved(asked.quantity))
      throw wrong('quantity', 'must be one that a change can move within months');
    // What it needs is a figure of any span of days, as a trend does.
    const question = questionOf({ ...asked, picture: 'trend' }, sites);
    return this.changes.effect({ ...question, change, became: became ?? null, span_days: span });
  }

  @Get('study/survival')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: SurvivalDto,
    description: 'How long backup modules last, and how many fall under the limit in each coming quarter',
  })
  survival(@Query(parsed(SurvivalQueryDto)) query: SurvivalQueryDto, @Who() { sites }: Identity) {
    return this.survivals.survival(survivalQuestionOf(query, sites));
  }

  @Get('study/wear')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: ValveWearDto,
    description: 'How valves wear by size and duty, and the years left of their rated life',
  })
  wear(@Query(parsed(WearQueryDto)) query: WearQueryDto, @Who() { sites }: Identity) {
    return this.wears.wear(wearQuestionOf(query, sites));
  }

  @Get('study/wear.csv')
  @Allows('read', 'filtered')
  @ApiProduces('text/csv')
  @ApiOkResponse(csv)
  async wearTable(@Query(parsed(WearQueryDto)) query: WearQueryDto, @Who() { sites }: Identity) {
    return sheet(await this.wears.table(wearQuestionOf(query, sites)));
  }

  @Get('units/:site/:unit/places')
  @ZodResponse({
    status: 200,
    type: UnitPlacesDto,
    description: 'Where each circuit and module of a unit lies among its like, circuits over four weeks',
  })
  unitPlaces(@Param('site') site: string, @Param('unit') unit: string, @Who() { sites }: Identity) {
    return this.places.places({ site, unit }, sites);
  }
}

const wrong = (name: string, reason: string) => new BadParameterError([{ name, reason }]);
