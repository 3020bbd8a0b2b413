import { createZodDto, type ZodDto } from 'nestjs-zod';
import type { z } from 'zod';
import * as schemas from './schemas/index.js';

/** The class of a schema that is one of several objects; TypeScript takes no union as a base. */
const oneOfSeveral = <Schema extends z.ZodType>(schema: Schema) =>
  createZodDto(schema) as unknown as Pick<ZodDto<Schema>, keyof ZodDto<Schema>> & (new () => object);

/** Classes that Nest's OpenAPI module needs, one per published answer. */
export class HealthDto extends createZodDto(schemas.healthSchema) {}
export class ProgressDto extends createZodDto(schemas.progressSchema) {}
export class RoundDto extends createZodDto(schemas.roundSchema) {}
export class ChangesDto extends createZodDto(schemas.changesSchema) {}
export class NearbySitesDto extends createZodDto(schemas.nearbySitesSchema) {}
export class PortfolioDto extends createZodDto(schemas.portfolioSchema) {}
export class RoundChangeListDto extends createZodDto(schemas.roundChangeListSchema) {}
export class FindingHistoryDto extends createZodDto(schemas.findingHistorySchema) {}
export class FindingEvidenceDto extends createZodDto(schemas.evidenceSchema) {}
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
export class MissingTelemetryDto extends createZodDto(schemas.missingTelemetrySchema) {}
export class RefrigerantListDto extends createZodDto(schemas.refrigerantListSchema) {}
export class LiveEventDto extends createZodDto(schemas.liveEventSchema) {}
export class FindingDecisionsDto extends createZodDto(schemas.findingDecisionsSchema) {}
export class StandingListDto extends createZodDto(schemas.standingListSchema) {}
export class AccuracyDto extends createZodDto(schemas.accuracySchema) {}
export class DayPlanDto extends createZodDto(schemas.dayPlanSchema) {}
export class CalendarAddressDto extends createZodDto(schemas.calendarAddressSchema) {}
export class NewCalendarAddressDto extends createZodDto(schemas.newCalendarAddressSchema) {}
export class FleetEnergyDto extends createZodDto(schemas.fleetEnergySchema) {}
export class UnitEnergyListDto extends createZodDto(schemas.unitEnergyListSchema) {}
export class SiteReportDto extends createZodDto(schemas.siteReportSchema) {}
export class CauseListDto extends createZodDto(schemas.causeListSchema) {}
export class SessionDto extends createZodDto(schemas.sessionSchema) {}
export class SecondFactorEnrolmentDto extends createZodDto(schemas.enrolmentSchema) {}
export class ConfirmedSecondFactorDto extends createZodDto(schemas.confirmedSecondFactorSchema) {}
export class RecoveryCodesDto extends createZodDto(schemas.recoveryCodesSchema) {}
export class RecoveryCodesLeftDto extends createZodDto(schemas.recoveryCodesLeftSchema) {}
export class SecondFactorRuleDto extends createZodDto(schemas.secondFactorRuleSchema) {}
export class OwnSessionsDto extends createZodDto(schemas.ownSessionsSchema) {}
export class SignedOutDto extends createZodDto(schemas.signedOutSchema) {}
export class InvitationDto extends createZodDto(schemas.invitationSchema) {}
export class AccountDto extends createZodDto(schemas.accountSchema) {}
export class AccountListDto extends createZodDto(schemas.accountListSchema) {}
export class PeopleDto extends createZodDto(schemas.peopleSchema) {}
export class OneTimeLinkDto extends createZodDto(schemas.oneTimeLinkSchema) {}
export class ApiTokenListDto extends createZodDto(schemas.apiTokenListSchema) {}
export class NewApiTokenDto extends createZodDto(schemas.newApiTokenSchema) {}
export class AuditLogDto extends createZodDto(schemas.auditLogSchema) {}
export class OwnNoticesDto extends createZodDto(schemas.ownNoticesSchema) {}
export class MailStateDto extends createZodDto(schemas.mailStateSchema) {}
export class MailCheckDto extends createZodDto(schemas.mailCheckSchema) {}
export class DeadLetterListDto extends createZodDto(schemas.deadLetterListSchema) {}
export class WebhookDto extends createZodDto(schemas.webhookSchema) {}
export class WebhookListDto extends createZodDto(schemas.webhookListSchema) {}
export class WebhookSecretDto extends createZodDto(schemas.webhookSecretSchema) {}
export class DeliveryListDto extends createZodDto(schemas.deliveryListSchema) {}

export class NoticeWishDto extends createZodDto(schemas.noticeWishSchema) {}
export class WebhookWishDto extends createZodDto(schemas.webhookWishSchema) {}
export class WebhookChangeDto extends createZodDto(schemas.webhookChangeSchema) {}
export class RegisteredSitesDto extends createZodDto(schemas.registeredSitesSchema) {}
export class RegisteredSiteDto extends createZodDto(schemas.registeredSiteSchema) {}
export class RegisteredUnitDto extends createZodDto(schemas.registeredUnitSchema) {}
export class UnitJudgedDto extends createZodDto(schemas.unitJudgedSchema) {}

export class HeardListDto extends createZodDto(schemas.heardListSchema) {}
export class TableOutcomeDto extends createZodDto(schemas.tableOutcomeSchema) {}
export class TablePreviewQueryDto extends createZodDto(schemas.tablePreviewQuerySchema) {}
export class TableApplyQueryDto extends createZodDto(schemas.tableApplyQuerySchema) {}
export class SiteWishDto extends createZodDto(schemas.siteWishSchema) {}
export class UnitWishDto extends createZodDto(schemas.unitWishSchema) {}
export class UnitChangeDto extends createZodDto(schemas.unitChangeSchema) {}
export class UnitCheckDto extends createZodDto(schemas.unitCheckSchema) {}
export class UnitMoveDto extends createZodDto(schemas.unitMoveSchema) {}
export class RegistryReasonDto extends createZodDto(schemas.reasonSchema) {}

export class DecisionWishDto extends oneOfSeveral(schemas.decisionWishSchema) {}
export class StandingQueryDto extends createZodDto(schemas.standingQuerySchema) {}
export class OpenIdQueryDto extends createZodDto(schemas.openIdQuerySchema) {}
export class PlanQueryDto extends createZodDto(schemas.planQuerySchema) {}
export class UnitEnergyQueryDto extends createZodDto(schemas.unitEnergyQuerySchema) {}
export class SiteReportQueryDto extends createZodDto(schemas.siteReportQuerySchema) {}
export class SignInDto extends createZodDto(schemas.signInSchema) {}
export class SwitchDto extends createZodDto(schemas.switchSchema) {}
export class PasswordChangeDto extends createZodDto(schemas.passwordChangeSchema) {}
export class PasswordShownDto extends createZodDto(schemas.passwordShownSchema) {}
export class BothShownDto extends createZodDto(schemas.bothShownSchema) {}
export class CodeDto extends createZodDto(schemas.codeSchema) {}
export class InvitationLookDto extends createZodDto(schemas.invitationLookSchema) {}
export class JoinDto extends createZodDto(schemas.joinSchema) {}
export class InviteDto extends createZodDto(schemas.inviteSchema) {}
export class AccountChangeDto extends createZodDto(schemas.accountChangeSchema) {}
export class ApiTokenWishDto extends createZodDto(schemas.apiTokenWishSchema) {}
export class AuditQueryDto extends createZodDto(schemas.auditQuerySchema) {}

export class RoundChangeQueryDto extends createZodDto(schemas.roundChangeQuerySchema) {}
export class RoundQueryDto extends createZodDto(schemas.roundQuerySchema) {}
export class ChangeQueryDto extends createZodDto(schemas.changeQuerySchema) {}
export class EvidenceQueryDto extends createZodDto(schemas.evidenceQuerySchema) {}
export class PortfolioQueryDto extends createZodDto(schemas.portfolioQuerySchema) {}
export class UnitListQueryDto extends createZodDto(schemas.unitListQuerySchema) {}
export class EventQueryDto extends createZodDto(schemas.eventQuerySchema) {}
export class FindingQueryDto extends createZodDto(schemas.findingQuerySchema) {}
export class SpanQueryDto extends createZodDto(schemas.spanQuerySchema) {}
export class WindowsQueryDto extends createZodDto(schemas.windowsQuerySchema) {}
export class AtQueryDto extends createZodDto(schemas.atQuerySchema) {}
export class CircuitStudyQueryDto extends createZodDto(schemas.circuitStudyQuerySchema) {}
export class CircuitPageQueryDto extends createZodDto(schemas.circuitPageQuerySchema) {}
export class BackupStudyQueryDto extends createZodDto(schemas.backupStudyQuerySchema) {}
export class BackupExportQueryDto extends createZodDto(schemas.backupExportQuerySchema) {}
export class UnreadQueryDto extends createZodDto(schemas.unreadQuerySchema) {}
