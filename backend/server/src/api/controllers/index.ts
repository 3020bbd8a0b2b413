import { AccountController } from './account.controller.js';
import { RoundChangeController } from './round-change.controller.js';
import { DataHealthController } from './data-health.controller.js';
import { DecisionController } from './decision.controller.js';
import { EnergyController } from './energy.controller.js';
import { ExportController } from './export.controller.js';
import { MetricsController } from './metrics.controller.js';
import { NoticeController, WebhookController } from './notice.controller.js';
import { MissingTelemetryController } from './missing-telemetry.controller.js';
import { GatewayController } from './gateway.controller.js';
import { HeardController } from './heard.controller.js';
import { RegistryTableController } from './registry-table.controller.js';
import { RegistryController } from './registry.controller.js';
import { PlanController } from './plan.controller.js';
import { ReportController } from './report.controller.js';
import { RoundController, StateController } from './round.controller.js';
import { SecondFactorController } from './second-factor.controller.js';
import { SessionController } from './session.controller.js';
import { SparkplugController } from './sparkplug.controller.js';
import { StudyFairController } from './study-fair.controller.js';
import { StudyQuestionController } from './study-question.controller.js';
import { TakeAwayController } from './take-away.controller.js';
import { StudyController } from './study.controller.js';
import { CircuitController, ModuleController, UnitController } from './unit.controller.js';

/** Exports come first: `series.csv` must not be taken for a parameter of another route. */
export const controllers = [
  ExportController,
  StudyQuestionController,
  StudyFairController,
  TakeAwayController,
  StateController,
  RoundController,
  RoundChangeController,
  MissingTelemetryController,
  DataHealthController,
  UnitController,
  CircuitController,
  ModuleController,
  StudyController,
  DecisionController,
  PlanController,
  EnergyController,
  ReportController,
  SessionController,
  SecondFactorController,
  AccountController,
  NoticeController,
  WebhookController,
  MetricsController,
  RegistryController,
  GatewayController,
  HeardController,
  RegistryTableController,
  SparkplugController,
];
