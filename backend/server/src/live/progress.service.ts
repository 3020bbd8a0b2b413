import { ProgressReader, type Progress } from '../api/ports.js';
import type { StateRepository } from '../storage/repositories/state.repository.js';

interface Count {
  at_ms: number;
  readings: number;
  took_ms: number;
}

/** Counting every reading takes time in proportion; it may take this share of the time, not more. */
const countingShare = 0.02;
const rateOver_ms = 30_000;

/** How much is stored and judged. Asked often, so the costly counts are kept for a while. */
export class ProgressService extends ProgressReader {
  private counts: Count[] = [];
  private counting: Promise<Count> | undefined;
  private last: { at_ms: number; progress: Promise<Progress> } | undefined;

  constructor(
    private readonly repository: StateRepository,
    private readonly now_ms: () => number = Date.now,
  ) {
    super();
  }

  override progress(): Promise<Progress> {
    if (this.last === undefined || this.now_ms() - this.last.at_ms > 1_000) {
      const progress = this.read();
      this.last = { at_ms: this.now_ms(), progress };
      progress.catch(() => (this.last = undefined));
    }
    return this.last.progress;
  }

  private async read(): Promise<Progress> {
    const [state, span, count] = await Promise.all([
      this.repository.state(),
      this.repository.span(),
      this.count(),
    ]);
    return {
      readings: count.readings,
      windowsDue: state.windowsDue,
      windowsJudged: state.windowsJudged,
      closings: state.closings,
      modulesDue: state.modulesDue,
      newestReading: span.newest?.toISOString() ?? null,
      oldestReading: span.oldest?.toISOString() ?? null,
      unread: state.unread,
      readingsPerSecond: this.rate(),
      settled: state.windowsJudged > 0 && state.historyDue === 0 && state.closings === state.closingsJudged,
    };
  }

  private async count(): Promise<Count> {
    const last = this.counts.at(-1);
    if (last !== undefined && this.now_ms() - last.at_ms < Math.max(1_000, last.took_ms / countingShare))
      return last;
    this.counting ??= this.countNow().finally(() => (this.counting = undefined));
    // The first answer waits for its count; later ones take what is known.
    return last ?? this.counting;
  }

  private async countNow(): Promise<Count> {
    const from = this.now_ms();
    const readings = await this.repository.readings();
    const at_ms = this.now_ms();
    const count = { at_ms, readings, took_ms: at_ms - from };
    this.counts = [...this.counts.filter((old) => at_ms - old.at_ms < 2 * rateOver_ms), count];
    return count;
  }

  private rate(): number {
    const last = this.counts.at(-1);
    if (last === undefined) return 0;
    const first = this.counts.find((count) => last.at_ms - count.at_ms <= rateOver_ms) ?? last;
    return first === last ? 0 : ((last.readings - first.readings) / (last.at_ms - first.at_ms)) * 1000;
  }
}
