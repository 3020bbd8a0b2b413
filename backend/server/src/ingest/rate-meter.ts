/** Counts per second over the last while. */
export class RateMeter {
  private entries: { at_ms: number; count: number }[] = [];

  constructor(
    private readonly span_ms: number,
    private readonly now_ms: () => number = Date.now,
  ) {}

  add(count: number): void {
    this.forget();
    this.entries.push({ at_ms: this.now_ms(), count });
  }

  perSecond(): number {
    this.forget();
    return (this.entries.reduce((sum, entry) => sum + entry.count, 0) * 1000) / this.span_ms;
  }

  private forget(): void {
    const from_ms = this.now_ms() - this.span_ms;
    const kept = this.entries.findIndex((entry) => entry.at_ms >= from_ms);
    if (kept !== 0) this.entries = kept < 0 ? [] : this.entries.slice(kept);
  }
}
