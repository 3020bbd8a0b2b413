import { Controller, Get, Inject, Query } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import {
  BackupStudyDto,
  BackupStudyQueryDto,
  CircuitStudyDto,
  CircuitPageQueryDto,
  RefrigerantListDto,
  UnreadListDto,
  UnreadQueryDto,
} from '../dto.js';
import { Allows } from '../access/allows.js';
import { parsed } from '../parameters.js';
import { RefrigerantService } from '../../pages/refrigerant.service.js';
import { StudyService } from '../../study/study.service.js';
import { UnreadService } from '../../pages/unread.service.js';

@ApiTags('field study')
@Controller('api')
export class StudyController {
  constructor(
    @Inject(StudyService) private readonly studies: StudyService,
    @Inject(UnreadService) private readonly unread: UnreadService,
    @Inject(RefrigerantService) private readonly refrigerants: RefrigerantService,
  ) {}

  @Get('study/circuits')
  @ZodResponse({
    status: 200,
    type: CircuitStudyDto,
    description: 'Circuits by cohort: distributions, and one page of the circuits',
  })
  circuits(@Query(parsed(CircuitPageQueryDto)) { q, ...query }: CircuitPageQueryDto) {
    return this.studies.circuits({ ...query, words: q });
  }

  @Get('study/backup-ageing')
  @ZodResponse({
    status: 200,
    type: BackupStudyDto,
    description: 'Backup modules by cohort: capacitance and ESR over age',
  })
  backup(@Query(parsed(BackupStudyQueryDto)) query: BackupStudyQueryDto) {
    return this.studies.backup(query);
  }

  @Get('unread-messages')
  @ZodResponse({
    status: 200,
    type: UnreadListDto,
    description: 'Messages that could not be read, newest first, 50 per page',
  })
  unreadMessages(@Query(parsed(UnreadQueryDto)) query: UnreadQueryDto) {
    return this.unread.list(query);
  }

  @Get('refrigerants')
  @Allows('read', 'no-site')
  @ZodResponse({
    status: 200,
    type: RefrigerantListDto,
    description: 'The refrigerants that have property tables',
  })
  list() {
    return this.refrigerants.list();
  }
}
