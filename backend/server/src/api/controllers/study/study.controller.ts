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
} from '../../dto.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { parsed } from '../../parameters.js';
import { RefrigerantService } from '../../../pages/refrigerant.service.js';
import { StudyService } from '../../../study/study.service.js';
import { UnreadService } from '../../../pages/unread.service.js';

@ApiTags('field study')
@Controller('api')
export class StudyController {
  constructor(
    @Inject(StudyService) private readonly studies: StudyService,
    @Inject(UnreadService) private readonly unread: UnreadService,
    @Inject(RefrigerantService) private readonly refrigerants: RefrigerantService,
  ) {}

  @Get('study/circuits')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: CircuitStudyDto,
    description: 'Circuits by cohort: distributions, and one page of the circuits',
  })
  circuits(
    @Query(parsed(CircuitPageQueryDto)) { q, ...query }: CircuitPageQueryDto,
    @Who() { sites }: Identity,
  ) {
    return this.studies.circuits({ ...query, words: q, sites });
  }

  @Get('study/backup-ageing')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: BackupStudyDto,
    description: 'Backup modules by cohort: capacitance and ESR over age',
  })
  backup(@Query(parsed(BackupStudyQueryDto)) query: BackupStudyQueryDto, @Who() { sites }: Identity) {
    return this.studies.backup({ ...query, sites });
  }

  @Get('unread-messages')
  @Allows('read', 'filtered')
  @ZodResponse({
    status: 200,
    type: UnreadListDto,
    description: 'Messages that could not be read, newest first, 50 per page',
  })
  unreadMessages(@Query(parsed(UnreadQueryDto)) query: UnreadQueryDto, @Who() { sites }: Identity) {
    return this.unread.list({ ...query, sites });
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
