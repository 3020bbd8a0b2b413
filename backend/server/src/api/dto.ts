import { createZodDto } from 'nestjs-zod';
import * as schemas from './schemas/index.js';

/** Classes that Nest's OpenAPI module needs, one per published answer. */
export class HealthDto extends createZodDto(schemas.healthSchema) {}
export class ProgressDto extends createZodDto(schemas.progressSchema) {}
export class RoundDto extends createZodDto(schemas.roundSchema) {}
export class FindingHistoryDto extends createZodDto(schemas.findingHistorySchema) {}
export class UnitListDto extends createZodDto(schemas.unitListSchema) {}
export class UnitDetailDto extends createZodDto(schemas.unitDetailSchema) {}
export class FloorResponseDto extends createZodDto(schemas.floorResponseSchema) {}
export class CircuitSeriesDto extends createZodDto(schemas.circuitSeriesSchema) {}
export class WaterSeriesDto extends createZodDto(schemas.waterSeriesSchema) {}
export class BackupSeriesDto extends createZodDto(schemas.backupSeriesSchema) {}
export class WindowListDto extends createZodDto(schemas.windowListSchema) {}
export class WindowPictureDto extends createZodDto(schemas.windowPictureSchema) {}
export class CycleDto extends createZodDto(schemas.cycleSchema) {}
export class ModuleDetailDto extends createZodDto(schemas.moduleDetailSchema) {}
export class ClosingDetailDto extends createZodDto(schemas.closingDetailSchema) {}
export class PowerLossListDto extends createZodDto(schemas.powerLossListSchema) {}
export class PowerLossReplayDto extends createZodDto(schemas.powerLossReplaySchema) {}
export class CircuitStudyDto extends createZodDto(schemas.circuitStudySchema) {}
export class BackupStudyDto extends createZodDto(schemas.backupStudySchema) {}
export class UnreadListDto extends createZodDto(schemas.unreadListSchema) {}
export class RefrigerantListDto extends createZodDto(schemas.refrigerantListSchema) {}
export class LiveEventDto extends createZodDto(schemas.liveEventSchema) {}

export class RoundQueryDto extends createZodDto(schemas.roundQuerySchema) {}
export class UnitListQueryDto extends createZodDto(schemas.unitListQuerySchema) {}
export class EventQueryDto extends createZodDto(schemas.eventQuerySchema) {}
export class FindingQueryDto extends createZodDto(schemas.findingQuerySchema) {}
export class SpanQueryDto extends createZodDto(schemas.spanQuerySchema) {}
export class WindowsQueryDto extends createZodDto(schemas.windowsQuerySchema) {}
export class AtQueryDto extends createZodDto(schemas.atQuerySchema) {}
export class CircuitStudyQueryDto extends createZodDto(schemas.circuitStudyQuerySchema) {}
export class BackupStudyQueryDto extends createZodDto(schemas.backupStudyQuerySchema) {}
export class BackupExportQueryDto extends createZodDto(schemas.backupExportQuerySchema) {}
export class UnreadQueryDto extends createZodDto(schemas.unreadQuerySchema) {}
