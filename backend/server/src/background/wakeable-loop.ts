/**
 * Work that is done again and again: a pause after the last time, or at once when woken. What fails is told, and the next
 * time comes as usual. It never does two at once, and does not keep the process alive.
 */
export class WakeableLoop {
  private timer: NodeJS.Timeout | undefined;
  private running: Promise<void> = Promise.resolve();
  private ended = false;

  constructor(
    private readonly work: () => Promise<void>,
    private readonly pause_ms: number,
    private readonly failed: (error: unknown) => void,
  ) {}

  /** True from `stop` on: long work may look at it to end early. */
  get stopped(): boolean {
    return this.ended;
  }

  start(): void {
    this.timer = setTimeout(() => this.begin(), this.pause_ms).unref();
  }

  /** There is something to do: begins at once, where it is not at it already. Once it is stopped nothing begins. */
  wake(): void {
    if (this.ended || this.timer === undefined) return;
    clearTimeout(this.timer);
    this.begin();
  }

  /** Ends when what is being worked on is done. */
  async stop(): Promise<void> {
    this.ended = true;
    clearTimeout(this.timer);
    await this.running;
  }

  private begin(): void {
    this.timer = undefined;
    this.running = this.work()
      .catch(this.failed)
      .finally(() => {
        if (!this.ended) this.start();
      });
  }
}
