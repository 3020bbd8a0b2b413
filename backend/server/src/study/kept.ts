const longest_ms = 300_000;
/** What took a second to work out is used for the better part of a minute: 2 % of the time goes into it at most. */
const share = 50;

interface Known<Value> {
  value: Value;
  from_ms: number;
  took_ms: number;
}

/**
 * A figure over the whole fleet, worked out seldom: kept the longer, the longer it takes. Who asks for one that is past
 * its time gets it once more, while the next is worked out; only one that is far past is waited for.
 */
export class Kept<Value> {
  private known: Known<Value> | undefined;
  private making: Promise<Value> | undefined;

  constructor(
    private readonly make: () => Promise<Value>,
    private readonly now_ms: () => number = Date.now,
    private readonly shortest_ms = 5_000,
  ) {}

  get(): Promise<Value> {
    const { known } = this;
    if (known === undefined) return this.renew();
    const fresh_ms = Math.min(longest_ms, Math.max(this.shortest_ms, share * known.took_ms));
    const age_ms = this.now_ms() - known.from_ms;
    if (age_ms <= fresh_ms) return Promise.resolve(known.value);
    const renewed = this.renew();
    if (age_ms > 2 * fresh_ms) return renewed;
    renewed.catch(() => {});
    return Promise.resolve(known.value);
  }

  /** Worked out anew, once for all who ask meanwhile. */
  renew(): Promise<Value> {
    this.making ??= this.work().finally(() => (this.making = undefined));
    return this.making;
  }

  private async work(): Promise<Value> {
    const from_ms = this.now_ms();
    const value = await this.make();
    this.known = { value, from_ms, took_ms: this.now_ms() - from_ms };
    return value;
  }
}
