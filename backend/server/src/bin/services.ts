import type { Provider } from '@nestjs/common';
import { readFileSync } from 'node:fs';
import type { Logger } from 'pino';
import { FleetParts } from '../assessment/fleet-parts.js';
import { FleetWearSummary } from '../assessment/fleet-wear.js';
import { AgeingCohorts } from '../assessment/module/ageing-cohorts.js';
import { ModuleAssessor } from '../assessment/module/module-assessor.js';
import { LikeUnits } from '../assessment/circuit/like-units.js';
import { NormalKeeper } from '../assessment/circuit/normal-keeper.js';
import { DataHealthKeeper } from '../assessment/data-health/data-health-keeper.js';
import { SilenceWatch } from '../assessment/silence-watch.js';
import { AssessmentWorker } from '../assessment/worker.js';
import type { Config } from '../config/index.js';
import { DeferralReader } from '../decisions/deferral.js';
import { DecisionRepository } from '../storage/decisions/decision.repository.js';
import { createCold } from './cold-services.js';
import { createDecisions } from './decision-services.js';
import { createExports } from './export-services.js';
import { createGateways } from './gateway-services.js';
import { createNotices } from './notice-services.js';
import { createPeople } from './people-services.js';
import { createStudyPages, createStudyThread, type StartThread } from './study-services.js';
import { AttentionKeeper } from '../findings/attention-keeper.js';
import { FindingKeeper } from '../findings/finding-keeper.js';
import { EnergyService } from '../pages/energy/energy.service.js';
import { EvidenceService } from '../pages/evidence/evidence.service.js';
import { PortfolioService } from '../pages/portfolio/portfolio.service.js';
import { SiteReportService } from '../pages/report/site-report.service.js';
import { ChangeService } from '../pages/round/change.service.js';
import { FindingService } from '../pages/round/finding.service.js';
import { RoundService } from '../pages/round/round.service.js';
import { UnitListService } from '../pages/round/unit-list.service.js';
import { CycleService } from '../pages/unit/cycle.service.js';
import { DocumentImport } from '../registry/changing/document-import.js';
import { RegistrationViewService } from '../registry/changing/registration-view.service.js';
import { RegistrationService } from '../registry/changing/registration.service.js';
import { PointsService } from '../registry/sparkplug/points.service.js';
import { SparkplugRepository } from '../storage/registry/sparkplug.repository.js';
import { TableService } from '../registry/table/table.service.js';
import { FactKeeper } from '../registry/facts/fact-keeper.js';
import { FactsRepository } from '../storage/registry/facts.repository.js';
import { RegistrationRepository } from '../storage/registry/registration.repository.js';
import { RejudgeRepository } from '../storage/assessment/rejudge.repository.js';
import { Reconverter } from '../assessment/reconverter.js';
import { FleetService } from '../registry/fleet.service.js';
import { ModuleService } from '../pages/unit/module.service.js';
import { PowerLossService } from '../pages/unit/power-loss.service.js';
import { RefrigerantService } from '../pages/refrigerant.service.js';
import { SeriesService } from '../pages/unit/series.service.js';
import { UnitService } from '../pages/unit/unit.service.js';
import { MissingTelemetryService } from '../pages/missing-telemetry.service.js';
import { DataHealthService } from '../pages/data-health/data-health.service.js';
import { HeardService } from '../pages/heard.service.js';
import { UnreadService } from '../pages/unread.service.js';
import { WindowService } from '../pages/unit/window.service.js';
import type { ColdStore } from '../storage/cold/cold-store.js';
import { DataHealthRepository } from '../storage/delivery/data-health.repository.js';
import { GatewayRepository } from '../storage/gateways/gateway.repository.js';
import { HeardRepository } from '../storage/ingest/heard.repository.js';
import { IngestService } from '../ingest/index.js';
import { HealthService } from '../live/health.service.js';
import { MetricsService, type MetricsParts } from '../live/metrics.service.js';
import { NumberedChangesService } from '../live/numbered-changes.service.js';
import { LiveHub } from '../live/live-hub.js';
import { ProgressService } from '../live/progress.service.js';
import type { Database, TimeSeriesEngine } from '../storage/index.js';
import { CircuitWorkRepository } from '../storage/assessment/circuit-work.repository.js';
import { MissingSamplesRepository } from '../storage/assessment/missing-samples.repository.js';
import { NotJudgedRepository } from '../storage/assessment/not-judged.repository.js';
import { BrokerLossRepository } from '../storage/ingest/broker-loss.repository.js';
import { ModuleWorkRepository } from '../storage/assessment/module-work.repository.js';
import { PeriodicWorkRepository } from '../storage/assessment/periodic-work.repository.js';
import { SignalRepository } from '../storage/assessment/circuit-signals.repository.js';
import { SilenceRepository } from '../storage/assessment/silence.repository.js';
import { AttentionRepository } from '../storage/repositories/findings/attention.repository.js';
import { ChangeRepository } from '../storage/repositories/findings/change.repository.js';
import { EnergyRepository } from '../storage/repositories/energy.repository.js';
import { FindingRepository } from '../storage/repositories/findings/finding.repository.js';
import { FleetRepository } from '../storage/repositories/fleet.repository.js';
import { LatestRepository } from '../storage/repositories/readings/latest.repository.js';
import { MetricsRepository } from '../storage/repositories/metrics.repository.js';
import { AgeingCohortRepository } from '../storage/repositories/results/ageing-cohort.repository.js';
import { ModuleRepository } from '../storage/repositories/results/module.repository.js';
import { DailyFiguresRepository } from '../storage/repositories/results/daily-figures.repository.js';
import { DiagnosisRepository } from '../storage/repositories/findings/diagnosis.repository.js';
import { NormalRepository } from '../storage/repositories/results/normal.repository.js';
import { NotificationRepository } from '../storage/repositories/findings/notification.repository.js';
import { PortfolioRepository } from '../storage/repositories/portfolio.repository.js';
import { ReadingRepository } from '../storage/repositories/readings/reading.repository.js';
import { ReportRepository } from '../storage/repositories/report.repository.js';
import { SeriesRepository } from '../storage/repositories/readings/series.repository.js';
import { StateRepository } from '../storage/repositories/results/state.repository.js';
import { StudyRepository } from '../storage/repositories/study.repository.js';
import { UnreadRepository } from '../storage/repositories/unread.repository.js';
import { WindowRepository } from '../storage/repositories/results/window.repository.js';
import { StudyService } from '../study/study.service.js';

/** What changes while the process starts. */
export interface ProcessState {
  ready: boolean;
  engine: TimeSeriesEngine | null;
  /** Left out or null: questions of the fleet are answered in the thread of the process. */
  startThread?: StartThread | null;
}

/** All that knows SQL, in one place. */
const createRepositories = (database: Database, cold: ColdStore | null) => ({
  attention: new AttentionRepository(database),
  changes: new ChangeRepository(database),
  findings: new FindingRepository(database),
  latest: new LatestRepository(database),
  modules: new ModuleRepository(database),
  diagnoses: new DiagnosisRepository(database),
  normals: new NormalRepository(database),
  energies: new EnergyRepository(database),
  brokerLosses: new BrokerLossRepository(database),
  missingSamples: new MissingSamplesRepository(database),
  notJudged: new NotJudgedRepository(database),
  notifications: new NotificationRepository(database),
  portfolio: new PortfolioRepository(database),
  readings: new ReadingRepository(database, cold?.reader),
  series: new SeriesRepository(database, cold?.reader),
  state: new StateRepository(database),
  study: new StudyRepository(database),
  days: new DailyFiguresRepository(database),
  registry: new FleetRepository(database),
  registration: new RegistrationRepository(database),
  facts: new FactsRepository(database, cold?.recall),
  unread: new UnreadRepository(database),
  windows: new WindowRepository(database),
  decisions: new DecisionRepository(database),
  reports: new ReportRepository(database),
  dataHealth: new DataHealthRepository(database),
  signals: new SignalRepository(database),
  gateways: new GatewayRepository(database),
});

/** Everything that a process of any role is made of, put together by hand: one place shows who needs whom. */
export function createServices(config: Config, database: Database, logger: Logger, state: ProcessState) {
  const cold = createCold(config, database, logger);
  const repositories = createRepositories(database, cold.store);
  const deferrals = new DeferralReader(repositories.decisions);
  const registration = createRegistration(repositories, database);
  const { fleet, changed: registryChanged } = registration;
  const progress = new ProgressService(repositories.state);
  const numbered = new NumberedChangesService(repositories.attention);
  const live = new LiveHub({ ...repositories, numbered, progress: () => progress.progress() });
  const attention = new AttentionKeeper({
    ...{ ...repositories, deferrals },
    changed: () => live.roundChanged(),
    failed: (error) => logger.warn({ err: error }, 'the order of the round could not be brought up to date'),
  });
  const ingest = createIngest(config, database, logger);
  const assessment = createAssessment(config, database, logger, {
    ...{ ...repositories, fleet, attention, registryChanged },
  });
  const units = new UnitService({ fleet, ...repositories });
  const losses = new PowerLossService({ fleet, ...repositories });
  const studies = new StudyService({ fleet, ...repositories });
  const answering = createStudyThread(config, state.startThread ?? null, logger);
  const taking = createExports(database, { fleet, studies, ...repositories }, cold.store?.reader);
  const health = createHealth(config, repositories, state, ingest);
  const people = createPeople(config, database, (error) =>
    logger.warn({ err: error }, 'a sign-in by OpenID Connect did not succeed'),
  );
  const decisions = createDecisions({
    ...{ ...repositories, ...people, fleet, decided: () => attention.wake() },
    failed: (error) => logger.warn({ err: error }, 'what was put off could not be looked at'),
  });
  const notices = createNotices(config, { ...repositories, ...people, deferrals }, logger);
  const gateways = createGateways(config, { ...repositories, ...people }, logger);
  const providers: Provider[] = [
    ...people.providers,
    ...gateways.providers,
    ...decisions.providers,
    ...notices.providers,
    {
      provide: MetricsService,
      useValue: createMetrics(database, { ...repositories, outbox: notices.outbox }, state, ingest),
    },
    ...registration.providers,
    { provide: HealthService, useValue: health },
    { provide: ProgressService, useValue: progress },
    { provide: LiveHub, useValue: live },
    { provide: NumberedChangesService, useValue: numbered },
    {
      provide: RoundService,
      useValue: new RoundService({ ...repositories, deferrals, isSettled: () => progress.isSettled() }),
    },
    ...sitePages(repositories),
    { provide: FindingService, useValue: new FindingService({ fleet, ...repositories }) },
    { provide: UnitService, useValue: units },
    { provide: SeriesService, useValue: new SeriesService({ fleet, ...repositories }) },
    { provide: WindowService, useValue: new WindowService({ fleet, ...repositories }) },
    { provide: CycleService, useValue: new CycleService(fleet, repositories.readings) },
    { provide: ModuleService, useValue: new ModuleService({ fleet, units, ...repositories }) },
    { provide: PowerLossService, useValue: losses },
    { provide: EvidenceService, useValue: new EvidenceService({ fleet, losses, ...repositories }) },
    ...createStudyPages({ fleet, ...repositories }, studies, answering),
    ...taking.providers,
    ...dataPages({ fleet, ...repositories }),
    { provide: RefrigerantService, useValue: new RefrigerantService() },
  ];
  return {
    fleet,
    documents: registration.documents,
    ingest,
    assessment,
    attention,
    live,
    progress,
    ...{ exports: taking.exports, takeAway: taking.takeAway },
    people,
    decisions,
    ...{ notices, gateways, cold, thread: answering.thread },
    providers,
  };
}

function createRegistration(
  repositories: {
    registration: RegistrationRepository;
    registry: FleetRepository;
    facts: FactsRepository;
    notifications: NotificationRepository;
  },
  database: Database,
) {
  const fleet = new FleetService(repositories.registry);
  const changed = async () => {
    fleet.forget();
    await repositories.notifications.registryChanged();
  };
  const parts = { ...repositories, database, changed, factKeeper: new FactKeeper(repositories.facts) };
  const sparkplug = new SparkplugRepository(database);
  const providers: Provider[] = [
    { provide: RegistrationService, useValue: new RegistrationService(parts) },
    { provide: TableService, useValue: new TableService(parts) },
    { provide: RegistrationViewService, useValue: new RegistrationViewService(repositories) },
    { provide: HeardService, useValue: new HeardService(new HeardRepository(database), sparkplug) },
    { provide: PointsService, useValue: new PointsService({ ...parts, sparkplug }) },
  ];
  return { fleet, changed, documents: new DocumentImport(parts), providers };
}

const sitePages = (
  repositories: ConstructorParameters<typeof EnergyService>[0] &
    ConstructorParameters<typeof PortfolioService>[0] &
    ConstructorParameters<typeof ChangeService>[0] &
    ConstructorParameters<typeof UnitListService>[0] &
    ConstructorParameters<typeof SiteReportService>[0],
): Provider[] => [
  { provide: UnitListService, useValue: new UnitListService(repositories) },
  { provide: ChangeService, useValue: new ChangeService(repositories) },
  { provide: PortfolioService, useValue: new PortfolioService(repositories) },
  { provide: EnergyService, useValue: new EnergyService(repositories) },
  { provide: SiteReportService, useValue: new SiteReportService(repositories) },
];

const dataPages = (
  parts: ConstructorParameters<typeof DataHealthService>[0] &
    ConstructorParameters<typeof MissingTelemetryService>[0] & { unread: UnreadRepository },
): Provider[] => [
  { provide: DataHealthService, useValue: new DataHealthService(parts) },
  { provide: UnreadService, useValue: new UnreadService(parts.unread) },
  { provide: MissingTelemetryService, useValue: new MissingTelemetryService(parts) },
];

function createHealth(
  config: Config,
  repositories: {
    state: StateRepository;
    notJudged: NotJudgedRepository;
    brokerLosses: BrokerLossRepository;
    missingSamples: MissingSamplesRepository;
    unread: UnreadRepository;
    gateways: GatewayRepository;
  },
  state: ProcessState,
  ingest: IngestService | null,
): HealthService {
  return new HealthService({
    repository: repositories.state,
    notJudged: repositories.notJudged,
    losses: repositories.brokerLosses,
    missing: repositories.missingSamples,
    unread: repositories.unread,
    gateways: repositories.gateways,
    roles: config.roles,
    version: readVersion(),
    startedAt: new Date(),
    isReady: () => state.ready,
    brokerConnected: () => ingest?.status().connected ?? null,
    storage: () =>
      state.engine === null ? null : state.engine === 'timescaledb' ? 'timescaledb' : 'postgresql',
  });
}

function createMetrics(
  database: Database,
  repositories: Omit<MetricsParts, 'metrics' | 'isReady' | 'brokerConnected'>,
  state: ProcessState,
  ingest: IngestService | null,
): MetricsService {
  return new MetricsService({
    ...repositories,
    metrics: new MetricsRepository(database),
    isReady: () => state.ready,
    brokerConnected: () => ingest?.status().connected ?? null,
  });
}

function createIngest(config: Config, database: Database, logger: Logger): IngestService | null {
  if (!config.roles.includes('ingest') || config.mqtt === null) return null;
  return new IngestService(database, {
    mqtt: config.mqtt,
    sparkplug: config.sparkplug ?? undefined,
    retention: {
      readings_days: config.readingsRetention_days,
      results_days: config.retention_days,
      unreadMessages_days: config.unreadRetention_days,
    },
    log: (level, line) => logger[level](line),
  });
}

interface AssessmentParts {
  windows: WindowRepository;
  normals: NormalRepository;
  series: SeriesRepository;
  energies: EnergyRepository;
  readings: ReadingRepository;
  modules: ModuleRepository;
  findings: FindingRepository;
  fleet: FleetService;
  attention: AttentionKeeper;
  facts: FactsRepository;
  dataHealth: DataHealthRepository;
  registryChanged: () => Promise<void>;
}

function createAssessment(
  config: Config,
  database: Database,
  logger: Logger,
  parts: AssessmentParts,
): AssessmentWorker | null {
  if (!config.roles.includes('assess')) return null;
  const { windows, normals, energies, series, readings, modules, fleet, attention, facts } = parts;
  const { dataHealth, registryChanged } = parts;
  const findings = new FindingKeeper(parts.findings, () => attention.wake());
  const fleetParts = new FleetParts(fleet);
  const moduleWork = new ModuleWorkRepository(database);
  const silence = new SilenceRepository(database);
  const like = new LikeUnits({ normals, fleet: fleetParts });
  const cohorts = new AgeingCohorts({ cohorts: new AgeingCohortRepository(database), fleet: fleetParts });
  return new AssessmentWorker({
    circuits: {
      work: new CircuitWorkRepository(database, windows),
      windows,
      readings,
      findings,
      normals: new NormalKeeper({ normals, windows, energies, series, like }),
      facts,
      fleet: fleetParts,
      wear: new FleetWearSummary(() => windows.fleetWear()),
    },
    modules: new ModuleAssessor({
      work: moduleWork,
      modules,
      readings,
      findings,
      cohorts,
      failed: (moduleId, error) => logger.error({ err: error, moduleId }, 'a module could not be assessed'),
    }),
    moduleWork,
    reconverter: new Reconverter({
      facts,
      rejudge: new RejudgeRepository(database),
      changed: registryChanged,
    }),
    periodic: new PeriodicWorkRepository(database),
    silence: new SilenceWatch({ fleet: fleetParts, silence, findings }),
    dataHealth: new DataHealthKeeper({ silence, dataHealth }),
    cohorts,
    logger,
    concurrency: config.assessConcurrency,
  });
}

function readVersion(): string {
  const manifest = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(manifest) as { version: string }).version;
}
