import type { IngesterRepository } from '../storage/ingest/ingester.repository.js';
import type { AcknowledgingClient } from './receiving/acknowledging-client.js';

export interface GroupTimes {
  heartbeat_s: number;
  deadAfter_s: number;
  /** How long a queue may take to be drained before it is looked at again. */
  drainPatience_s: number;
}

export const defaultGroupTimes: GroupTimes = { heartbeat_s: 15, deadAfter_s: 60, drainPatience_s: 600 };

export interface IngesterGroupParts {
  group: string;
  clientId: string;
  times: GroupTimes;
  /** A client that connects under the name of a dead ingester and takes what the broker holds for it. */
  drain: (deadId: string) => AcknowledgingClient;
  isEmpty: () => boolean;
  say: (line: string) => void;
}

/**
 * Ingesters that share a subscription watch over each other: the broker goes on queueing a share of everything for one
 * that has died, so another connects under its name, takes the queue, and gives the subscription back. Where the dead
 * one returns, the broker ends the other's connection and it has its queue again.
 */
export class IngesterGroup {
  private timer: NodeJS.Timeout | undefined;
  private beating: Promise<void> = Promise.resolve();
  private heard = false;
  private readonly drains = new Set<Promise<void>>();

  constructor(
    private readonly repository: IngesterRepository,
    private readonly parts: IngesterGroupParts,
  ) {}

  start(): void {
    this.beating = this.beat();
    this.timer = setInterval(() => {
      this.beating = this.beat();
    }, this.parts.times.heartbeat_s * 1000);
    this.timer.unref();
  }

  async stop(): Promise<void> {
    clearInterval(this.timer);
    await this.beating;
    await Promise.all(this.drains);
  }

  /** This one has left for good. */
  left(): Promise<void> {
    return this.repository.forget(this.parts.clientId);
  }

  private async beat(): Promise<void> {
    const { clientId, group, times } = this.parts;
    try {
      await this.repository.alive(clientId, group);
      // After a time without database all look dead to the first that is back: only who was heard itself judges others.
      const heardBefore = this.heard;
      this.heard = true;
      if (!heardBefore) return;
      for (const deadId of await this.repository.takeDead(clientId, group, times.deadAfter_s)) {
        const drain = this.takeOver(deadId).finally(() => this.drains.delete(drain));
        this.drains.add(drain);
      }
    } catch {
      // The database is away; everyone's heartbeat waits alike.
      this.heard = false;
    }
  }

  private async takeOver(deadId: string): Promise<void> {
    const { clientId, drain, isEmpty, say, times } = this.parts;
    say(`The ingester ${deadId} no longer reports; its queue at the broker is being taken over.`);
    const client = drain(deadId);
    client.start();
    for (let waited_ms = 0; waited_ms < 10_000 && !client.connected; waited_ms += 100)
      await new Promise((resolve) => setTimeout(resolve, 100));
    const done = await client.leave(isEmpty, times.drainPatience_s * 1000);
    if (!done) return;
    await this.repository.forget(deadId, clientId).catch(() => {});
    say(`The queue of the ingester ${deadId} is taken over.`);
  }
}
