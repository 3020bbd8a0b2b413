import type { Cause, Estimate, FindingSubject, Urgency } from '@coldrounds/core';
import type { Decided, DecidedFinding } from '../../decisions/decision.js';
import { standingView } from '../../decisions/standing-view.js';
import { BadEntryError } from '../../people/bad-entry.js';
import type { FleetSite } from '../../registry/fleet.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { DecisionRepository } from '../../storage/decisions/decision.repository.js';
import type { EnergyRepository } from '../../storage/repositories/energy.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import type { ReportedProblem, ReportRepository } from '../../storage/repositories/report.repository.js';
import { costOf, sumOf } from '../energy/energy.js';
import { siteReference } from '../references.js';

export interface SiteReportParts {
  reports: ReportRepository;
  registry: Pick<FleetRepository, 'sites'>;
  decisions: Pick<DecisionRepository, 'states'>;
  energies: Pick<EnergyRepository, 'bySite' | 'saved'>;
}

/** Days that a report covers where none are given. */
const usual_days = 30;
const longest_days = 400;
const day_ms = 86_400_000;

type View = ReturnType<typeof standingView>;

/** What was found, done and saved at one site over some days, for its owner. */
export class SiteReportService {
  constructor(
    private readonly parts: SiteReportParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /** @param days first and last calendar day at the site; left out: the last 30 days */
  async report(siteKey: string, days: { from?: string; to?: string }) {
    const { reports, registry, energies } = this.parts;
    const site = (await registry.sites()).find(({ key }) => key === siteKey);
    if (site === undefined) throw new NotKnownError(`There is no site ${siteKey}.`);
    const { today, before } = await reports.today(site.id, usual_days - 1);
    const [from, to] = [days.from ?? before, days.to ?? today];
    if (from > to) throw new BadEntryError([{ name: 'from', reason: 'lies after the last day' }]);
    if (Date.parse(to) - Date.parse(from) > longest_days * day_ms)
      throw new BadEntryError([
        { name: 'from', reason: `must be at most ${longest_days} days before the last` },
      ]);
    const span = await reports.instants(site.id, from, to);
    const [problems, visits, modules, given, saved] = await Promise.all([
      reports.problems(site.id, span),
      reports.visits(site.id, span),
      reports.modules(site.id, span),
      energies.bySite(),
      energies.saved({ from_s: span.from.getTime() / 1000, to_s: span.until.getTime() / 1000 }, [site.id]),
    ]);
    const standings = await this.standings([
      ...problems.flatMap(({ document }) => document.symptoms),
      ...visits.map(({ findingId }) => findingId),
    ]);
    const row = given.find(({ siteId }) => siteId === site.id);
    return {
      ...{ site: siteReference(site), from, to, madeAt: new Date(this.now_s() * 1000).toISOString() },
      found: problems.map((problem) => foundView(problem, standings)),
      visits: visits.map(({ findingId, unit, unitName, at, by, document, finding }) => {
        const { seen, done, parts } = document as Extract<Decided, { kind: 'close' }>;
        const { subject } = finding as DecidedFinding;
        const outcome = standings.get(findingId)?.outcome ?? null;
        return {
          unit: { key: unit, name: unitName },
          at: at.toISOString(),
          by,
          subject,
          seen,
          done,
          parts,
          outcome,
        };
      }),
      closings: modules.map(({ unit, unitName, lastProofAt, ...counts }) => ({
        ...{ unit: { key: unit, name: unitName }, ...counts },
        lastProofAt: lastProofAt?.toISOString() ?? null,
      })),
      energy: this.energy(
        site,
        row?.given_J_week ?? null,
        sumOf(saved.map(({ energy_J, uncertainty_J }) => ({ value: energy_J, uncertainty: uncertainty_J }))),
      ),
    };
  }

  private energy(site: FleetSite, given: Estimate | null, saved: Estimate | null) {
    return {
      ...{ givenAway_J_week: given, givenAwayCost_week: costOf(given, site) },
      ...{ saved_J: saved, savedCost: costOf(saved, site) },
    };
  }

  private async standings(findingIds: readonly string[]): Promise<Map<string, View>> {
    const states = await this.parts.decisions.states([...new Set(findingIds)]);
    return new Map(states.map((state) => [state.findingId, standingView(state, this.now_s())]));
  }
}

/** A problem with what was decided on it, by the newest decision on any of its symptoms. */
function foundView(problem: ReportedProblem, standings: ReadonlyMap<string, View>) {
  const { unit, unitName, document, openedAt, endedAt } = problem;
  const decided = document.symptoms
    .flatMap((id) => standings.get(id) ?? [])
    .sort((a, b) => (a.at < b.at ? 1 : -1))[0];
  return {
    unit: { key: unit, name: unitName },
    cause: document.cause satisfies Cause,
    subject: document.subject satisfies FindingSubject,
    urgency: document.urgency satisfies Urgency,
    certainty: document.certainty,
    // Those that were written before there were any have none.
    cautions: document.cautions ?? [],
    openedAt: openedAt.toISOString(),
    endedAt: endedAt?.toISOString() ?? null,
    plan:
      decided === undefined ? null : { kind: decided.kind, due: decided.due, back: decided.back !== null },
  };
}
