/** How long a refusal waits for its answer, and how many wait at once: each costs a timer and an open connection. */
const wait_ms = 500;
const most = 2_000;

/**
 * Holds refusals back for a moment. Whoever tries again and again waits for each answer, so that a hundred who try at
 * once make 200 attempts a second and no more, which leaves the process to the pages. Beyond `most` at once they are
 * answered straight away: memory is bounded too.
 */
export class HeldRefusals {
  private held = 0;

  constructor(
    private readonly wait: () => Promise<void> = () => new Promise((resolve) => setTimeout(resolve, wait_ms)),
  ) {}

  async hold(): Promise<void> {
    if (this.held >= most) return;
    this.held++;
    try {
      await this.wait();
    } finally {
      this.held--;
    }
  }
}
