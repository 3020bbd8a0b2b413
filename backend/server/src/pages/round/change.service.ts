import { urgencies, type Finding, type Urgency } from '@coldrounds/core';
import type { AttentionRepository } from '../../storage/repositories/findings/attention.repository.js';
import type {
  ChangedFinding,
  ChangedUnit,
  ChangeRepository,
} from '../../storage/repositories/findings/change.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { iso, siteReference, unitReference } from '../references.js';
import { changeOf, kindsOfChange, type KindOfChange } from './urgency-change.js';

export interface ChangeParts {
  attention: Pick<AttentionRepository, 'state'>;
  changes: ChangeRepository;
  registry: Pick<FleetRepository, 'units'>;
}

export interface ChangeQuery {
  since_s: number;
  /** Keys of the only sites that may be seen; null: all. */
  sites: readonly string[] | null;
  /** From 1. */
  page: number;
  limit: number;
}

/** Which units somebody is asked to look at now and was not then, or the other way round. */
export class ChangeService {
  constructor(
    private readonly parts: ChangeParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  async since({ since_s, sites, page, limit }: ChangeQuery) {
    const { attention, changes } = this.parts;
    const [{ judgingSince }, found] = await Promise.all([attention.state(), changes.unitsSince(since_s)]);
    const changed = found.flatMap((unit) => {
      const change = changeOf(unit.before, unit.now);
      return change === null || !(sites?.includes(unit.siteKey) ?? true) ? [] : [{ ...unit, change }];
    });
    changed.sort((a, b) => kindsOfChange.indexOf(a.change) - kindsOfChange.indexOf(b.change));
    const count = (kind: KindOfChange) => changed.filter(({ change }) => change === kind).length;
    return {
      since: iso(since_s),
      until: iso(this.now_s()),
      judgingSince: judgingSince?.toISOString() ?? null,
      known: judgingSince !== null && judgingSince.getTime() / 1000 <= since_s,
      counts: { new: count('new'), worse: count('worse'), better: count('better'), gone: count('gone') },
      units: await this.rows(since_s, changed.slice((page - 1) * limit, page * limit)),
      page,
      pages: Math.max(1, Math.ceil(changed.length / Math.max(1, limit))),
    };
  }

  private async rows(since_s: number, shown: (ChangedUnit & { change: KindOfChange })[]) {
    const ids = shown.map(({ unitId }) => unitId);
    const [units, findings] = await Promise.all([
      this.parts.registry.units(ids),
      this.parts.changes.findingsSince(since_s, ids),
    ]);
    const byId = new Map(units.map((unit) => [unit.id, unit]));
    return shown.flatMap(({ unitId, before, now, change }) => {
      const unit = byId.get(unitId);
      if (unit === undefined) return [];
      return [
        {
          site: siteReference(unit.site),
          unit: unitReference(unit),
          change,
          before: urgencies[before] ?? null,
          now: urgencies[now] ?? null,
          findings: findings.filter((finding) => finding.unitId === unitId).map(changedFinding),
        },
      ];
    });
  }
}

function changedFinding({ id, document, urgency, before, endedAt }: ChangedFinding) {
  const now: Urgency | null = endedAt === null ? urgency : null;
  return { id, subject: document.subject, headline: document.headline, before, now } satisfies {
    id: string;
    before: Urgency | null;
    now: Urgency | null;
  } & Pick<Finding, 'subject' | 'headline'>;
}
