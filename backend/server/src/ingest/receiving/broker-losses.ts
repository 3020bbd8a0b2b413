import type { BrokerLossRepository } from '../../storage/ingest/broker-loss.repository.js';

/** Says when the broker drops messages, by its own counter. */
export class BrokerLosses {
  private last: number | null = null;
  private readonly broker: string;

  constructor(
    private readonly repository: BrokerLossRepository,
    url: string,
    private readonly say: (line: string) => void,
  ) {
    const { protocol, host } = new URL(url);
    this.broker = `${protocol}//${host}`;
  }

  async told(counter: number): Promise<void> {
    if (counter === this.last) return;
    try {
      const lost = await this.repository.told(this.broker, counter);
      this.last = counter;
      if (lost > 0) this.say(lossLine(lost));
    } catch {
      // The database is away: the counter comes again, and with it what was lost meanwhile.
    }
  }
}

export const lossLine = (lost: number): string =>
  `The broker dropped ${lost} messages because one of its queues was full: that telemetry is lost. Raise its queue limit (Mosquitto: max_queued_messages 1000000000 and max_queued_bytes 0) so that it can hold a backlog.`;
