import type { UnitPath } from '../../registry/paths.js';
import type { FleetService } from '../../registry/fleet.service.js';
import type { FindingRepository } from '../../storage/repositories/finding.repository.js';
import { recorded } from '../../findings/recorded.js';

/** Findings with their history. */
export class FindingService {
  constructor(
    private readonly fleet: FleetService,
    private readonly findings: FindingRepository,
  ) {}

  async history(query: { unit?: UnitPath; open?: boolean; limit: number }) {
    const unit = query.unit === undefined ? undefined : await this.fleet.unit(query.unit);
    const [stored, { units }] = await Promise.all([
      this.findings.history({ unitId: unit?.id, open: query.open, limit: query.limit }),
      this.fleet.fleet(),
    ]);
    const byId = new Map(units.map((entry) => [entry.id, entry]));
    return {
      findings: stored.flatMap((finding) => {
        const owner = byId.get(finding.unitId);
        return owner === undefined
          ? []
          : [{ site: owner.site.key, unit: owner.key, finding: recorded(finding) }];
      }),
    };
  }
}
