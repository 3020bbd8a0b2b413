import type { StateRepository, StoreCounts } from '../storage/repositories/results/state.repository.js';
import { Kept } from '../study/kept.js';

/** How much telemetry is stored and how much of it is judged. */
export interface Progress {
  readings: number;
  windowsDue: number;
  windowsJudged: number;
  closings: number;
  modulesDue: number;
  newestReading: string | null;
  oldestReading: string | null;
  unread: number;
  readingsPerSecond: number;
  /** No history waits to be judged. */
  settled: boolean;
  /** Nor do findings, diagnoses or the round wait for what follows from it. */
  upToDate: boolean;
}

interface Count {
  at_ms: number;
  readings: number;
}

const rateOver_ms = 60_000;
const sampleEvery_ms = 10_000;

/** How much is stored and judged. Asked often, so an answer is kept for a second. */
export class ProgressService {
  private counts: Count[] = [];
  private timer: NodeJS.Timeout | undefined;
  private known: Progress | undefined;
  private last: { at_ms: number; progress: Promise<Progress> } | undefined;
  /** What grows with the store is counted the more seldom, the longer that takes. */
  private readonly stored: Kept<StoreCounts>;

  constructor(
    private readonly repository: StateRepository,
    private readonly now_ms: () => number = Date.now,
  ) {
    this.stored = new Kept(() => repository.counts(), now_ms, 1_000);
  }

  /** Counts by itself, so that the rate is one over the last minute, whoever asks and how seldom. */
  start(): void {
    this.timer = setInterval(() => void this.countNow().catch(() => {}), sampleEvery_ms);
    this.timer.unref();
  }

  stop(): void {
    clearInterval(this.timer);
  }

  progress(): Promise<Progress> {
    if (this.last === undefined || this.now_ms() - this.last.at_ms > 1_000) {
      const progress = this.read();
      this.last = { at_ms: this.now_ms(), progress };
      progress.then(
        (known) => (this.known = known),
        () => (this.last = undefined),
      );
    }
    return this.last.progress;
  }

  /** What was known a moment ago, so that no page waits for the counting. */
  async isSettled(): Promise<boolean> {
    if (this.known === undefined) return (await this.progress()).settled;
    if (this.last === undefined || this.now_ms() - this.last.at_ms > 5_000) this.progress().catch(() => {});
    return this.known.settled;
  }

  private async read(): Promise<Progress> {
    const [work, stored, newest, count] = await Promise.all([
      this.repository.work(),
      this.stored.get(),
      this.repository.newest(),
      this.countNow(),
    ]);
    const settled = work.windowsJudged > 0 && work.historyDue === 0 && work.closingsDue === 0;
    return {
      readings: count.readings,
      windowsDue: work.windowsDue,
      windowsJudged: work.windowsJudged,
      closings: stored.closings,
      modulesDue: work.modulesDue,
      newestReading: newest?.toISOString() ?? null,
      oldestReading: stored.oldest?.toISOString() ?? null,
      unread: stored.unread,
      readingsPerSecond: this.rate(),
      settled,
      upToDate: settled && work.followingDue === 0,
    };
  }

  private async countNow(): Promise<Count> {
    const readings = await this.repository.readings();
    const at_ms = this.now_ms();
    const count = { at_ms, readings };
    this.counts = [...this.counts.filter((old) => at_ms - old.at_ms < 2 * rateOver_ms), count];
    return count;
  }

  private rate(): number {
    const last = this.counts.at(-1);
    if (last === undefined) return 0;
    const first = this.counts.find((count) => last.at_ms - count.at_ms <= rateOver_ms) ?? last;
    // The running count is an estimate that the database corrects now and then, also downwards.
    return first === last
      ? 0
      : Math.max(0, ((last.readings - first.readings) / (last.at_ms - first.at_ms)) * 1000);
  }
}
