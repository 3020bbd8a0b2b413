import { collectDefaultMetrics, Counter, Gauge, Registry, type OpenMetricsContentType } from 'prom-client';
import type { NotJudgedRepository } from '../storage/assessment/not-judged.repository.js';
import type { MissingSamplesRepository } from '../storage/assessment/missing-samples.repository.js';
import type { BrokerLossRepository } from '../storage/ingest/broker-loss.repository.js';
import type { OutboxRepository } from '../storage/notices/outbox.repository.js';
import type { AttentionRepository } from '../storage/repositories/findings/attention.repository.js';
import type { MetricsRepository } from '../storage/repositories/metrics.repository.js';
import type { StateRepository } from '../storage/repositories/results/state.repository.js';
import type { UnreadRepository } from '../storage/repositories/unread.repository.js';

export interface MetricsParts {
  metrics: MetricsRepository;
  state: Pick<StateRepository, 'newest' | 'readings'>;
  notJudged: NotJudgedRepository;
  missingSamples: MissingSamplesRepository;
  brokerLosses: BrokerLossRepository;
  unread: Pick<UnreadRepository, 'lastDay'>;
  attention: Pick<AttentionRepository, 'state'>;
  outbox: OutboxRepository;
  isReady: () => boolean;
  /** Null where this process does not ingest. */
  brokerConnected: () => boolean | null;
}

/** Figures of the whole store are read at most so often, however many monitors ask. */
const kept_ms = 10_000;
const urgencyNames = ['today', 'this-week', 'next-visit', 'watch', 'quiet'];

/** The state of this process and of the store for a monitor, as OpenMetrics text. */
export class MetricsService {
  readonly contentType = Registry.OPENMETRICS_CONTENT_TYPE;
  private readonly registry = new Registry<OpenMetricsContentType>();
  private readonly gauges = new Map<string, Gauge>();
  private readonly requests: Counter<'method' | 'status'>;
  private read: { at_ms: number; done: Promise<void> } | undefined;
  private withProcess = false;

  constructor(
    private readonly parts: MetricsParts,
    private readonly now_ms: () => number = Date.now,
  ) {
    this.registry.setContentType(this.contentType);
    this.requests = new Counter({
      ...{ name: 'coldrounds_http_requests', help: 'Requests answered by this process, by status class.' },
      ...{ labelNames: ['method', 'status'], registers: [this.registry] },
    });
  }

  /** A request was answered. */
  answered(method: string, status: number): void {
    this.requests.inc({ method, status: `${Math.floor(status / 100)}xx` });
  }

  async text(): Promise<string> {
    if (!this.withProcess) collectDefaultMetrics({ register: this.registry });
    this.withProcess = true;
    const connected = this.parts.brokerConnected();
    this.set('coldrounds_ready', 'Whether the store can be used.', this.parts.isReady() ? 1 : 0);
    if (connected !== null)
      this.set(
        'coldrounds_broker_connected',
        'Whether this process is connected to the broker.',
        connected ? 1 : 0,
      );
    if (this.parts.isReady()) await this.readStore();
    // OpenMetrics writes NaN, which a gauge without a sample is (the lag of the event loop at first); the library writes Nan.
    return (await this.registry.metrics()).replaceAll(/ Nan$/gm, ' NaN');
  }

  private readStore(): Promise<void> {
    const now_ms = this.now_ms();
    if (this.read === undefined || now_ms - this.read.at_ms > kept_ms) {
      const done = this.readAll(now_ms / 1000);
      this.read = { at_ms: now_ms, done };
      // One that failed is not kept.
      done.catch(() => (this.read = undefined));
    }
    return this.read.done;
  }

  private async readAll(now_s: number): Promise<void> {
    await Promise.all([
      this.readLag(now_s),
      this.readFailures(),
      this.readRound(),
      this.readOutbox(now_s),
      this.readSizes(),
    ]);
  }

  /** What waits, and how far the store is behind. */
  private async readLag(now_s: number): Promise<void> {
    const [figures, newest] = await Promise.all([this.parts.metrics.figures(), this.parts.state.newest()]);
    const age = (at: Date) => now_s - at.getTime() / 1000;
    if (newest !== null)
      this.set(
        'coldrounds_newest_reading_age_seconds',
        'Age of the newest stored reading of the fleet; left out: there is none.',
        age(newest),
      );
    this.set(
      'coldrounds_judging_lag_seconds',
      'How long ago the oldest window ended that is not judged yet; 0: none waits.',
      figures.oldestWindowDue === null ? 0 : age(figures.oldestWindowDue),
    );
    const due = 'Work that waits.';
    this.set('coldrounds_due', due, figures.windowsDue, { what: 'windows' });
    this.set('coldrounds_due', due, figures.closingsDue, { what: 'closings' });
    this.set('coldrounds_due', due, figures.modulesDue, { what: 'modules' });
    this.set('coldrounds_due', due, figures.unitsToRank, { what: 'units-to-rank' });
    figures.findings.forEach((count, place) =>
      this.set('coldrounds_findings_open', 'Open findings.', count, { urgency: urgencyNames[place] }),
    );
    this.set('coldrounds_people', 'Accounts that are open.', figures.people);
    this.set('coldrounds_sessions', 'Sessions of browsers.', figures.sessions);
  }

  private async readFailures(): Promise<void> {
    const { notJudged, missingSamples, brokerLosses, unread } = this.parts;
    const [failed, missing, lost, refused] = await Promise.all([
      notJudged.counts(),
      missingSamples.totals(),
      brokerLosses.all(),
      unread.lastDay(),
    ]);
    for (const [what, count] of Object.entries(failed))
      this.set('coldrounds_not_judged', 'What could not be judged.', count, { what });
    this.set('coldrounds_missing_samples', 'Samples of the last day that did not come.', missing.samples);
    this.set(
      'coldrounds_broker_lost_messages',
      'Messages that brokers count as dropped.',
      lost.reduce((sum, { lost: count }) => sum + count, 0),
    );
    const help = 'Messages of the last day that could not be read.';
    this.clear('coldrounds_unread_messages', help, ['reason']);
    for (const { reason, kept, notKept } of refused)
      this.set('coldrounds_unread_messages', help, kept + notKept, { reason });
  }

  private async readRound(): Promise<void> {
    const { byUrgency, silent, units, circuits, modules } = await this.parts.attention.state();
    byUrgency.forEach((count, place) =>
      this.set('coldrounds_units', 'Units by their place on the round.', count, {
        urgency: urgencyNames[place],
      }),
    );
    this.set('coldrounds_units_silent', 'Units without telemetry.', silent);
    const help = 'What the registry holds.';
    this.set('coldrounds_registered', help, units, { what: 'units' });
    this.set('coldrounds_registered', help, circuits, { what: 'circuits' });
    this.set('coldrounds_registered', help, modules, { what: 'modules' });
  }

  private async readOutbox(now_s: number): Promise<void> {
    for (const to of ['people', 'webhooks'] as const) {
      const { waiting, dead, oldest } = await this.parts.outbox.counts(to);
      this.set('coldrounds_outbox_waiting', 'Messages that wait to be sent.', waiting, { to });
      this.set('coldrounds_outbox_given_up', 'Messages that were given up.', dead, { to });
      this.set(
        'coldrounds_outbox_age_seconds',
        'Age of the oldest message that waits; 0: none waits.',
        oldest === null ? 0 : now_s - oldest.getTime() / 1000,
        { to },
      );
    }
  }

  private async readSizes(): Promise<void> {
    const [{ database, tables }, readings] = await Promise.all([
      this.parts.metrics.sizes(),
      this.parts.state.readings(),
    ]);
    this.set('coldrounds_database_bytes', 'Size of the database.', database);
    for (const { table, bytes } of tables)
      this.set('coldrounds_table_bytes', 'Size of a table with its indexes and parts.', bytes, { table });
    this.set('coldrounds_readings', 'Rows of circuit readings, by the statistics of the database.', readings);
  }

  private set(name: string, help: string, value: number, labels: Record<string, string> = {}): void {
    this.gauge(name, help, Object.keys(labels)).set(labels, value);
  }

  private clear(name: string, help: string, labelNames: string[]): void {
    this.gauge(name, help, labelNames).reset();
  }

  private gauge(name: string, help: string, labelNames: string[]): Gauge {
    const gauge = this.gauges.get(name) ?? new Gauge({ name, help, labelNames, registers: [this.registry] });
    this.gauges.set(name, gauge);
    return gauge;
  }
}
