import type { NotJudgedCounts, NotJudgedRepository } from '../storage/assessment/not-judged.repository.js';
import type { BrokerLoss, BrokerLossRepository } from '../storage/ingest/broker-loss.repository.js';
import type {
  MissingSamplesRepository,
  MissingTotals,
} from '../storage/assessment/missing-samples.repository.js';
import type { GatewayRepository, RefusedLately } from '../storage/gateways/gateway.repository.js';
import type { UnreadCount, UnreadRepository } from '../storage/repositories/unread.repository.js';
import type { StateRepository } from '../storage/repositories/results/state.repository.js';

export interface Health {
  status: 'ok' | 'starting' | 'degraded';
  database: 'ok' | 'down';
  broker: 'ok' | 'down' | 'unused';
  storage: 'timescaledb' | 'postgresql' | null;
  roles: ('ingest' | 'assess' | 'api')[];
  version: string;
  startedAt: string;
  /** Null while the database does not answer. */
  notJudged: NotJudgedCounts | null;
  messagesLost: BrokerLoss[] | null;
  samplesMissing: MissingTotals | null;
  unreadMessages: UnreadCount[] | null;
  gatewaysRefused: RefusedLately[] | null;
}

export interface HealthParts {
  repository: StateRepository;
  notJudged: NotJudgedRepository;
  losses: BrokerLossRepository;
  missing: MissingSamplesRepository;
  unread: UnreadRepository;
  gateways: GatewayRepository;
  roles: Health['roles'];
  version: string;
  startedAt: Date;
  isReady: () => boolean;
  /** Null where this process does not ingest. */
  brokerConnected: () => boolean | null;
  storage: () => Health['storage'];
}

interface Counted {
  notJudged: NotJudgedCounts;
  messagesLost: BrokerLoss[];
  samplesMissing: MissingTotals;
  unreadMessages: UnreadCount[];
  gatewaysRefused: RefusedLately[];
}

const patience_ms = 2_000;

/** Whether this process is up and what it reaches; always answers, also while the database is away. */
export class HealthService {
  constructor(private readonly parts: HealthParts) {}

  async health(): Promise<Health> {
    const { repository, roles, version, startedAt, isReady, brokerConnected, storage } = this.parts;
    const database = await withinTime(repository.ping(), patience_ms);
    // Before the migrations have run there is nothing to count.
    const counted = database && isReady() ? await this.counted() : null;
    const connected = brokerConnected();
    return {
      status: !isReady() ? 'starting' : database && connected !== false ? 'ok' : 'degraded',
      database: database ? 'ok' : 'down',
      broker: connected === null ? 'unused' : connected ? 'ok' : 'down',
      storage: storage(),
      roles,
      version,
      startedAt: startedAt.toISOString(),
      notJudged: counted?.notJudged ?? null,
      messagesLost: counted?.messagesLost ?? null,
      samplesMissing: counted?.samplesMissing ?? null,
      unreadMessages: counted?.unreadMessages ?? null,
      gatewaysRefused: counted?.gatewaysRefused ?? null,
    };
  }

  private async counted(): Promise<Counted | null> {
    try {
      const [notJudged, messagesLost, samplesMissing, unreadMessages, gatewaysRefused] = await Promise.all([
        this.parts.notJudged.counts(),
        this.parts.losses.all(),
        this.parts.missing.totals(),
        this.parts.unread.lastDay(),
        this.parts.gateways.refusedLately(),
      ]);
      return { notJudged, messagesLost, samplesMissing, unreadMessages, gatewaysRefused };
    } catch {
      return null;
    }
  }
}

async function withinTime(work: Promise<void>, limit_ms: number): Promise<boolean> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<boolean>((resolve) => {
    timer = setTimeout(() => resolve(false), limit_ms);
  });
  const done = work.then(
    () => true,
    () => false,
  );
  return Promise.race([done, late]).finally(() => clearTimeout(timer));
}
