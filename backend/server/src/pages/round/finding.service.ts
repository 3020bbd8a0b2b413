import type { Urgency } from '@coldrounds/core';
import { recorded } from '../../findings/recorded.js';
import type { FleetService } from '../../registry/fleet.service.js';
import type { UnitPath } from '../../registry/paths.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { wordsOf } from './words.js';

export interface FindingQuery {
  unit?: UnitPath;
  site?: string;
  /** Keys of the only sites that may be seen; null or left out: all. */
  sites?: readonly string[] | null;
  open?: boolean;
  urgency?: Urgency;
  words?: string;
  /** `next` of the page before. */
  after?: string;
  limit: number;
}

export interface FindingParts {
  fleet: FleetService;
  registry: Pick<FleetRepository, 'units'>;
  findings: FindingRepository;
}

/** Findings with their history, newest first, page by page. */
export class FindingService {
  constructor(private readonly parts: FindingParts) {}

  async history({ unit, words, ...query }: FindingQuery) {
    const { fleet, registry, findings } = this.parts;
    const stored = await findings.history({
      ...query,
      unitId: unit === undefined ? undefined : (await fleet.unit(unit)).id,
      words: wordsOf(words),
      limit: query.limit + 1,
    });
    const shown = stored.slice(0, query.limit);
    const owners = await registry.units([...new Set(shown.map(({ unitId }) => unitId))]);
    const byId = new Map(owners.map((owner) => [owner.id, owner]));
    return {
      findings: shown.flatMap((finding) => {
        const owner = byId.get(finding.unitId);
        return owner === undefined
          ? []
          : [{ site: owner.site.key, unit: owner.key, finding: recorded(finding) }];
      }),
      next: stored.length > shown.length ? shown.at(-1)!.id : null,
    };
  }
}
