/**
 * Bounds how many connections of one address may wait to be let in, so that one sender cannot take the broker's
 * time. Those that have been let in do not count: many gateways may stand behind one address.
 */
export class WaitingConnections {
  private readonly waiting = new Map<string, number>();

  constructor(private readonly most = 100) {}

  /** How to say that it was let in or is gone; null: too many of that address wait already. */
  enter(address: string): (() => void) | null {
    const now = this.waiting.get(address) ?? 0;
    if (now >= this.most) return null;
    this.waiting.set(address, now + 1);
    let left = false;
    return () => {
      if (left) return;
      left = true;
      const rest = (this.waiting.get(address) ?? 1) - 1;
      if (rest > 0) this.waiting.set(address, rest);
      else this.waiting.delete(address);
    };
  }
}
