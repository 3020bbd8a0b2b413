import { iso } from './references.js';
import type { MissingSamplesRepository } from '../storage/assessment/missing-samples.repository.js';
import type { NotJudgedRepository } from '../storage/assessment/not-judged.repository.js';
import type { BrokerLossRepository } from '../storage/ingest/broker-loss.repository.js';

export interface MissingTelemetryParts {
  missingSamples: MissingSamplesRepository;
  brokerLosses: BrokerLossRepository;
  notJudged: NotJudgedRepository;
}

const mostUnits = 50;

/** What did not come, what brokers dropped, and what could not be judged. */
export class MissingTelemetryService {
  constructor(private readonly parts: MissingTelemetryParts) {}

  /** @param sites keys of the only ones that are told of; null: all. What brokers dropped belongs to no site. */
  async missing(sites: readonly string[] | null) {
    const { missingSamples, brokerLosses, notJudged } = this.parts;
    const [totals, units, messagesLost, counts] = await Promise.all([
      missingSamples.totals(sites),
      missingSamples.worst(mostUnits, sites),
      sites === null ? brokerLosses.all() : [],
      notJudged.counts(sites),
    ]);
    return {
      ...totals,
      worst: units.map(({ hours, ...unit }) => ({
        ...unit,
        hours: hours.map(({ hour_s, ...hour }) => ({ from: iso(hour_s), ...hour })),
      })),
      messagesLost,
      notJudged: counts,
    };
  }
}
