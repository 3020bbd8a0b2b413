import { AccountController } from './people/account.controller.js';
import { RoundChangeController } from './round/round-change.controller.js';
import { DataHealthController } from './health/data-health.controller.js';
import { DecisionController } from './decisions/decision.controller.js';
import { EnergyController } from './round/energy.controller.js';
import { ExportController } from './study/export.controller.js';
import { MetricsController } from './health/metrics.controller.js';
import { NoticeController, WebhookController } from './decisions/notice.controller.js';
import { MissingTelemetryController } from './health/missing-telemetry.controller.js';
import { GatewayController } from './registry/gateway.controller.js';
import { HeardController } from './registry/heard.controller.js';
import { RegistryTableController } from './registry/registry-table.controller.js';
import { RegistryController } from './registry/registry.controller.js';
import { PlanController } from './decisions/plan.controller.js';
import { ReportController } from './decisions/report.controller.js';
import { RoundController, StateController } from './round/round.controller.js';
import { SecondFactorController } from './people/second-factor.controller.js';
import { SessionController } from './people/session.controller.js';
import { SparkplugController } from './registry/sparkplug.controller.js';
import { StudyFairController } from './study/study-fair.controller.js';
import { StudyQuestionController } from './study/study-question.controller.js';
import { TakeAwayController } from './study/take-away.controller.js';
import { StudyController } from './study/study.controller.js';
import { CircuitController, ModuleController, UnitController } from './round/unit.controller.js';

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
