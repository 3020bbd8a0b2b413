import type { EdgeNodeAddress } from '@coldrounds/core/sparkplug';

/** Pauses between requests to one edge node that does not answer, s; the last goes on. */
const pauses_s = [10, 30, 60, 120, 300, 600];
/** Requests to all edge nodes together, a second: after a start all of them are to be asked. */
const mostInASecond = 50;
const remembered = 20_000;

/**
 * Requests for births, held to a rate: an edge node that answers is asked again after ten seconds at the earliest, one that
 * does not ever seldomer.
 */
export class RebirthRequests {
  private readonly asked = new Map<string, { at_ms: number; unanswered: number }>();
  private second = 0;
  private inSecond = 0;

  constructor(private readonly send: (node: EdgeNodeAddress) => void) {}

  /** Asks, or leaves it for the next occasion; tells which. */
  ask(node: EdgeNodeAddress, now_ms: number): boolean {
    const key = keyOf(node);
    const before = this.asked.get(key);
    if (before !== undefined) {
      const pause_s = pauses_s[Math.min(Math.max(before.unanswered - 1, 0), pauses_s.length - 1)];
      if (now_ms - before.at_ms < pause_s * 1000) return false;
    }
    const second = Math.floor(now_ms / 1000);
    if (second !== this.second) [this.second, this.inSecond] = [second, 0];
    if (this.inSecond >= mostInASecond) return false;
    this.inSecond += 1;
    this.asked.delete(key);
    this.asked.set(key, { at_ms: now_ms, unanswered: (before?.unanswered ?? 0) + 1 });
    if (this.asked.size > remembered) this.asked.delete(this.asked.keys().next().value!);
    this.send(node);
    return true;
  }

  /** Its birth came. */
  answered(node: EdgeNodeAddress): void {
    const before = this.asked.get(keyOf(node));
    if (before !== undefined) before.unanswered = 0;
  }
}

export const keyOf = ({ group, edge }: EdgeNodeAddress): string => `${group}/${edge}`;
