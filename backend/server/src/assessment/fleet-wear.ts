import type { FleetWear } from '@coldrounds/core';

interface Wear {
  circuitId: number;
  travel: number;
  reversals: number;
}

const refreshEvery_ms = 60_000;

/** What the fleet's valves do in a day, read once a minute and not for each circuit. */
export class FleetWearSummary {
  private rows: readonly Wear[] = [];
  private position = new Map<number, number>();
  private travel: number[] = [];
  private reversals: number[] = [];
  private readAt_ms = -Infinity;

  constructor(
    private readonly read: () => Promise<Wear[]>,
    private readonly now_ms: () => number = Date.now,
  ) {}

  async refresh(): Promise<void> {
    if (this.now_ms() - this.readAt_ms < refreshEvery_ms) return;
    this.readAt_ms = this.now_ms();
    this.rows = await this.read();
    this.position = new Map(this.rows.map(({ circuitId }, index) => [circuitId, index]));
    this.travel = this.rows.map(({ travel }) => travel);
    this.reversals = this.rows.map(({ reversals }) => reversals);
  }

  /** The figures of all circuits but this one. */
  others(circuitId: number): FleetWear {
    const own = this.position.get(circuitId);
    const without = (values: number[]) => (own === undefined ? values : values.toSpliced(own, 1));
    return { travel_strokes_per_day: without(this.travel), reversals_per_day: without(this.reversals) };
  }
}
