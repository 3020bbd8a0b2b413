import {
  Body,
  Controller,
  Delete,
  Get,
  HttpCode,
  Inject,
  Param,
  ParseIntPipe,
  Post,
  Query,
  UseInterceptors,
} from '@nestjs/common';
import { ApiOkResponse, ApiProduces, ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import { mediaTypes } from '../../../export/take-away.service.js';
import type { Identity } from '../../../people/identity.js';
import { AskService } from '../../../study/ask/ask.service.js';
import { SavedQuestionService } from '../../../study/ask/saved-questions.service.js';
import { Allows, Who } from '../../access/allows.js';
import { AskableDto, NewQuestionDto, QuestionQueryDto, StudyAnswerDto } from '../../dto.js';
import { invalidParameters } from '../../errors.js';
import { parsed } from '../../parameters.js';
import { questionOf, questionQuerySchema } from '../../schemas/study/study-question.js';
import { csv, parquet, parquetSheet, sheet } from './sheet.js';
import { WhileAsked } from './while-asked.interceptor.js';

@ApiTags('field study')
@Controller('api/study')
@UseInterceptors(WhileAsked)
export class StudyQuestionController {
  constructor(
    @Inject(AskService) private readonly asking: AskService,
    @Inject(SavedQuestionService) private readonly saved: SavedQuestionService,
  ) {}

  @Get('questions')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: AskableDto,
    description:
      'What can be asked of whom: fields of the registry with their words, and the saved questions',
  })
  async askable(@Who() who: Identity) {
    const [asked, saved] = await Promise.all([this.asking.asked(who.sites), this.saved.list(who)]);
    return { ...asked, saved };
  }

  @Post('questions')
  @Allows('note', 'filtered')
  @HttpCode(204)
  async save(@Body(parsed(NewQuestionDto)) { name, question }: NewQuestionDto, @Who() who: Identity) {
    const query = questionQuerySchema.safeParse(queryOf(question));
    if (!query.success) throw invalidParameters(query.error);
    const { where } = questionOf(query.data, who.sites);
    // A unit is named with its site.
    const sites = where.flatMap(({ field, values }) =>
      field === 'site' ? values : field === 'unit' ? values.map((unit) => unit.split('/')[0]) : [],
    );
    await this.saved.save(name, question, sites, who);
  }

  @Delete('questions/:id')
  @Allows('note', 'filtered')
  @HttpCode(204)
  async forget(@Param('id', ParseIntPipe) id: number, @Who() who: Identity) {
    await this.saved.forget(id, who);
  }

  @Get('answer')
  @Allows('read', 'filtered')
  @ZodResponse({ status: 200, type: StudyAnswerDto, description: 'What the fleet answers to a question' })
  answer(@Query(parsed(QuestionQueryDto)) query: QuestionQueryDto, @Who() { sites }: Identity) {
    return this.asking.ask(questionOf(query, sites));
  }

  @Get('answer.csv')
  @Allows('read', 'filtered')
  @ApiProduces('text/csv')
  @ApiOkResponse(csv)
  async table(@Query(parsed(QuestionQueryDto)) query: QuestionQueryDto, @Who() { sites }: Identity) {
    return sheet(await this.asking.table(questionOf(query, sites)));
  }

  @Get('answer.parquet')
  @Allows('read', 'filtered')
  @ApiProduces(mediaTypes.parquet)
  @ApiOkResponse(parquet)
  async parquet(@Query(parsed(QuestionQueryDto)) query: QuestionQueryDto, @Who() { sites }: Identity) {
    return parquetSheet(await this.asking.table(questionOf(query, sites)));
  }
}

/** The parameters of an address as a request would bring them; what comes more than once as a list. */
function queryOf(text: string): Record<string, string | string[]> {
  const parameters = new URLSearchParams(text);
  return Object.fromEntries(
    [...new Set(parameters.keys())].map((name) => {
      const values = parameters.getAll(name);
      return [name, values.length === 1 ? values[0]! : values];
    }),
  );
}
