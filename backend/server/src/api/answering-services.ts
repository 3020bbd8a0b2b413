import { NumberedChangesService } from '../live/numbered-changes.service.js';
import { HealthService } from '../live/health.service.js';
import { LiveHub } from '../live/live-hub.js';
import { MetricsService } from '../live/metrics.service.js';
import { ProgressService } from '../live/progress.service.js';
import { AccuracyService } from '../decisions/accuracy/accuracy.service.js';
import { GatewayService } from '../gateways/gateway.service.js';
import { DecisionService } from '../decisions/decision.service.js';
import { NoticeService } from '../notices/notice.service.js';
import { WebhookService } from '../notices/webhooks/webhook.service.js';
import { AccessService } from '../people/access.service.js';
import { AccountService } from '../people/account.service.js';
import { AuditService } from '../people/audit.service.js';
import { OpenIdService } from '../people/openid/openid.service.js';
import { SecondFactorService } from '../people/second-factor/second-factor.service.js';
import { SignInService } from '../people/sign-in/sign-in.service.js';
import { TokenService } from '../people/token.service.js';
import { RegistrationViewService } from '../registry/changing/registration-view.service.js';
import { RegistrationService } from '../registry/changing/registration.service.js';
import { PointsService } from '../registry/sparkplug/points.service.js';
import { TableService } from '../registry/table/table.service.js';
import { FleetService } from '../registry/fleet.service.js';
import { SessionAnswers } from './access/session-answers.js';
import { Place } from './access/at-this-machine.js';
import { RefrigerantService } from '../pages/refrigerant.service.js';
import { CalendarService } from '../pages/plan/calendar.service.js';
import { DayPlanService } from '../pages/plan/day-plan.service.js';
import { EnergyService } from '../pages/energy/energy.service.js';
import { EvidenceService } from '../pages/evidence/evidence.service.js';
import { PortfolioService } from '../pages/portfolio/portfolio.service.js';
import { SiteReportService } from '../pages/report/site-report.service.js';
import { ChangeService } from '../pages/round/change.service.js';
import { FindingService } from '../pages/round/finding.service.js';
import { RoundService } from '../pages/round/round.service.js';
import { UnitListService } from '../pages/round/unit-list.service.js';
import { CycleService } from '../pages/unit/cycle.service.js';
import { ModuleService } from '../pages/unit/module.service.js';
import { PowerLossService } from '../pages/unit/power-loss.service.js';
import { SeriesService } from '../pages/unit/series.service.js';
import { UnitService } from '../pages/unit/unit.service.js';
import { WindowService } from '../pages/unit/window.service.js';
import { MissingTelemetryService } from '../pages/missing-telemetry.service.js';
import { DataHealthService } from '../pages/data-health/data-health.service.js';
import { HeardService } from '../pages/heard.service.js';
import { UnreadService } from '../pages/unread.service.js';
import { TakeAwayService } from '../export/take-away.service.js';
import { ExportService } from '../study/export.service.js';
import { AskService } from '../study/ask/ask.service.js';
import { SavedQuestionService } from '../study/ask/saved-questions.service.js';
import { ChangeEffectService } from '../study/fair/change-effect.service.js';
import { ComparisonService } from '../study/fair/comparison.service.js';
import { PlaceService } from '../study/fair/place.service.js';
import { WearService } from '../study/fair/wear.service.js';
import { SurvivalService } from '../study/fair/survival.service.js';
import { StudyService } from '../study/study.service.js';

/** The services that the controllers ask. */
export const answeringServices = [
  NumberedChangesService,
  HealthService,
  LiveHub,
  ProgressService,
  RefrigerantService,
  EvidenceService,
  ChangeService,
  FindingService,
  PortfolioService,
  RoundService,
  UnitListService,
  CycleService,
  ModuleService,
  PowerLossService,
  SeriesService,
  UnitService,
  WindowService,
  UnreadService,
  HeardService,
  MissingTelemetryService,
  DataHealthService,
  ExportService,
  TakeAwayService,
  StudyService,
  AskService,
  SavedQuestionService,
  ComparisonService,
  ChangeEffectService,
  SurvivalService,
  PlaceService,
  WearService,
  AccessService,
  AccountService,
  AuditService,
  SignInService,
  SecondFactorService,
  SessionAnswers,
  TokenService,
  Place,
  FleetService,
  GatewayService,
  RegistrationService,
  RegistrationViewService,
  TableService,
  PointsService,
  DecisionService,
  AccuracyService,
  NoticeService,
  OpenIdService,
  MetricsService,
  WebhookService,
  DayPlanService,
  CalendarService,
  EnergyService,
  SiteReportService,
];
