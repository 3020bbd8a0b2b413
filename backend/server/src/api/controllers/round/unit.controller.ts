import { Controller, Get, Inject, Param, ParseIntPipe, Query, UseInterceptors } from '@nestjs/common';
import { ApiTags } from '@nestjs/swagger';
import { ZodResponse } from 'nestjs-zod';
import {
  AtQueryDto,
  BackupSeriesDto,
  CircuitSeriesDto,
  ClosingDetailDto,
  CycleDto,
  FloorResponseDto,
  ModuleDetailDto,
  PowerLossListDto,
  PowerLossReplayDto,
  SpanQueryDto,
  UnitDetailDto,
  UnitListDto,
  UnitListQueryDto,
  WaterSeriesDto,
  WindowListDto,
  WindowPictureDto,
  WindowsQueryDto,
} from '../../dto.js';
import type { Identity } from '../../../people/identity.js';
import { Allows, Who } from '../../access/allows.js';
import { instant_s, parsed, span } from '../../parameters.js';
import { RoundTag } from '../../round-tag.js';
import { CycleService } from '../../../pages/unit/cycle.service.js';
import { ModuleService } from '../../../pages/unit/module.service.js';
import { PowerLossService } from '../../../pages/unit/power-loss.service.js';
import { SeriesService } from '../../../pages/unit/series.service.js';
import { UnitListService } from '../../../pages/round/unit-list.service.js';
import { UnitService } from '../../../pages/unit/unit.service.js';
import { WindowService } from '../../../pages/unit/window.service.js';

const day_s = 86_400;

@ApiTags('units')
@Controller('api/units')
export class UnitController {
  constructor(
    @Inject(UnitListService) private readonly lists: UnitListService,
    @Inject(UnitService) private readonly units: UnitService,
    @Inject(SeriesService) private readonly series: SeriesService,
    @Inject(PowerLossService) private readonly losses: PowerLossService,
  ) {}

  @Get()
  @Allows('read', 'filtered')
  @UseInterceptors(RoundTag)
  @ZodResponse({ status: 200, type: UnitListDto, description: 'Units of the registry, page by page' })
  list(@Query(parsed(UnitListQueryDto)) { q, ...query }: UnitListQueryDto, @Who() { sites }: Identity) {
    return this.lists.list({ ...query, sites, words: q });
  }

  @Get(':site/:unit')
  @ZodResponse({
    status: 200,
    type: UnitDetailDto,
    description: 'One unit: circuits, modules, open findings',
  })
  detail(@Param('site') site: string, @Param('unit') unit: string) {
    return this.units.detail({ site, unit });
  }

  @Get(':site/:unit/water/series')
  @ZodResponse({ status: 200, type: WaterSeriesDto, description: "The unit's water and ambient values" })
  water(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Query(parsed(SpanQueryDto)) query: SpanQueryDto,
  ) {
    return this.series.water({ site, unit }, span(query, day_s), query.points);
  }

  @Get(':site/:unit/power-losses')
  @ZodResponse({ status: 200, type: PowerLossListDto, description: 'Review of each loss of mains' })
  powerLosses(@Param('site') site: string, @Param('unit') unit: string) {
    return this.losses.list({ site, unit });
  }

  @Get(':site/:unit/power-losses/:startedAt_s')
  @ZodResponse({ status: 200, type: PowerLossReplayDto, description: 'Readings around one loss of mains' })
  replay(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('startedAt_s', ParseIntPipe) startedAt_s: number,
  ) {
    return this.losses.replay({ site, unit }, startedAt_s);
  }
}

@ApiTags('circuits')
@Controller('api/units/:site/:unit/circuits/:circuit')
export class CircuitController {
  constructor(
    @Inject(UnitService) private readonly units: UnitService,
    @Inject(SeriesService) private readonly series: SeriesService,
    @Inject(WindowService) private readonly windows: WindowService,
    @Inject(CycleService) private readonly cycles: CycleService,
  ) {}

  @Get('series')
  @ZodResponse({ status: 200, type: CircuitSeriesDto, description: 'Telemetry over a span, as columns' })
  circuitSeries(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
    @Query(parsed(SpanQueryDto)) query: SpanQueryDto,
  ) {
    return this.series.circuit({ site, unit, circuit }, span(query, day_s), query.points);
  }

  @Get('windows')
  @ZodResponse({
    status: 200,
    type: WindowListDto,
    description: 'Judged windows; of the last 28 days unless a span is given',
  })
  list(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
    @Query(parsed(WindowsQueryDto)) query: WindowsQueryDto,
  ) {
    return this.windows.list({ site, unit, circuit }, span(query, 28 * day_s));
  }

  @Get('windows/:start_s')
  @ZodResponse({
    status: 200,
    type: WindowPictureDto,
    description: 'One window and the data of its charts, computed from the readings',
  })
  picture(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
    @Param('start_s', ParseIntPipe) start_s: number,
  ) {
    return this.windows.picture({ site, unit, circuit }, start_s);
  }

  @Get('floor')
  @ZodResponse({ status: 200, type: FloorResponseDto, description: 'Steady floor and headroom' })
  floor(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
  ) {
    return this.units.floor({ site, unit, circuit });
  }

  @Get('cycle')
  @ZodResponse({
    status: 200,
    type: CycleDto,
    description: 'Pressure-enthalpy diagram: the dome and the state points',
  })
  cycle(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('circuit', ParseIntPipe) circuit: number,
    @Query(parsed(AtQueryDto)) query: AtQueryDto,
  ) {
    return this.cycles.cycle({ site, unit, circuit }, query.at === undefined ? null : instant_s(query.at));
  }
}

@ApiTags('modules')
@Controller('api/units/:site/:unit/modules/:module')
export class ModuleController {
  constructor(
    @Inject(ModuleService) private readonly modules: ModuleService,
    @Inject(SeriesService) private readonly series: SeriesService,
  ) {}

  @Get()
  @ZodResponse({
    status: 200,
    type: ModuleDetailDto,
    description: 'One backup module: reserve, trend, forecast, closings',
  })
  detail(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('module', ParseIntPipe) module: number,
  ) {
    return this.modules.detail({ site, unit, module });
  }

  @Get('series')
  @ZodResponse({ status: 200, type: BackupSeriesDto, description: "The module's readings over a span" })
  backupSeries(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('module', ParseIntPipe) module: number,
    @Query(parsed(SpanQueryDto)) query: SpanQueryDto,
  ) {
    return this.series.backup({ site, unit, module }, span(query, day_s), query.points);
  }

  @Get('closings/:startedAt_s')
  @ZodResponse({
    status: 200,
    type: ClosingDetailDto,
    description: 'One closing: the measured curve and the fitted discharge',
  })
  closing(
    @Param('site') site: string,
    @Param('unit') unit: string,
    @Param('module', ParseIntPipe) module: number,
    @Param('startedAt_s', ParseIntPipe) startedAt_s: number,
  ) {
    return this.modules.closing({ site, unit, module }, startedAt_s);
  }
}
