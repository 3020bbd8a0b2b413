import type { Finding, Urgency } from '@coldrounds/core';
import type { Decided, DecidedFinding } from '../../decisions/decision.js';
import { standingNow } from '../../decisions/standing-view.js';
import { unexplained } from '../../findings/attention.js';
import { seesSite, type Identity } from '../../people/identity.js';
import type { FleetUnit } from '../../registry/fleet.js';
import { NotKnownError } from '../../registry/fleet.service.js';
import type { DecisionRepository, StateRow } from '../../storage/decisions/decision.repository.js';
import type { PersonRepository, StoredPerson } from '../../storage/people/person.repository.js';
import type { AttentionRepository } from '../../storage/repositories/findings/attention.repository.js';
import type { DiagnosisRepository } from '../../storage/repositories/findings/diagnosis.repository.js';
import type { FindingRepository } from '../../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../../storage/repositories/fleet.repository.js';
import { siteReference } from '../references.js';
import { planOf, type AlsoDue, type HandedOver } from './day-plan.js';

export interface DayPlanParts {
  attention: Pick<AttentionRepository, 'page'>;
  decisions: Pick<DecisionRepository, 'handedTo' | 'statesOfUnits'>;
  diagnoses: Pick<DiagnosisRepository, 'openOfUnits'>;
  findings: Pick<FindingRepository, 'openOfUnits'>;
  people: Pick<PersonRepository, 'byId'>;
  registry: Pick<FleetRepository, 'units'>;
}

/** From `watch` on nobody is asked to do anything. */
const asks = (urgency: Urgency): boolean => urgency !== 'watch';

/** Units of the visited sites that are looked through for what else is due there. */
const mostUnits = 300;

/** What one person has to do, and what else is due where they go. */
export class DayPlanService {
  constructor(
    private readonly parts: DayPlanParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /**
   * @param until the last day, at each site, whose work is wanted; null: all
   * @param viewer sees only the sites that they may see themselves
   */
  async plan(personId: number, until: string | null, viewer: Pick<Identity, 'sites'>) {
    const person = await this.parts.people.byId(personId);
    if (person === null) throw new NotKnownError('There is no such person.');
    const handed = (await this.handed(person, viewer)).filter(({ due }) => until === null || due <= until);
    const keys = [...new Set(handed.map(({ site }) => site.key))];
    const alsoDue = await this.alsoDue(keys, new Set(handed.map(({ finding }) => finding)));
    return {
      person: { id: person.id, name: person.name },
      asOf: new Date(this.now_s() * 1000).toISOString(),
      findings: handed.length,
      overdue: handed.filter(({ overdue }) => overdue).length,
      sites: planOf(handed, alsoDue),
    };
  }

  /** Findings that a person has, of sites that they and the viewer may see. */
  private async handed(person: StoredPerson, viewer: Pick<Identity, 'sites'>) {
    const states = await this.parts.decisions.handedTo(person.id);
    const units = await this.unitsOf(states.map(({ unitId }) => unitId));
    return states.flatMap((state): HandedOver<ReturnType<typeof siteReference>>[] => {
      const unit = units.get(state.unitId);
      const decided = state.document as Decided;
      if (unit === undefined || decided.kind !== 'hand-over') return [];
      if (!seesSite(viewer, unit.site.key) || !seesSite(person, unit.site.key)) return [];
      const { headline, subject } = state.finding as DecidedFinding;
      return [
        {
          ...{ site: siteReference(unit.site), unit: { key: unit.key, name: unit.name } },
          ...{ finding: state.findingId, headline, subject, due: decided.due, reason: decided.reason },
          urgency: (state.now?.urgency ?? state.urgency) as Urgency,
          overdue: standingNow(state, this.now_s()).overdue,
          by: state.by.name,
        },
      ];
    });
  }

  /** By site: problems that ask for a visit and are not among the findings given. */
  private async alsoDue(
    siteKeys: readonly string[],
    given: ReadonlySet<string>,
  ): Promise<Map<string, AlsoDue[]>> {
    if (siteKeys.length === 0) return new Map();
    const { attention, diagnoses, findings, decisions } = this.parts;
    const places = await attention.page({ sites: siteKeys }, null, mostUnits);
    const ids = places.filter(({ urgency }) => urgency < 3).map(({ unitId }) => unitId);
    const [units, known, open, states] = await Promise.all([
      this.unitsOf(ids),
      diagnoses.openOfUnits(ids),
      findings.openOfUnits(ids),
      decisions.statesOfUnits(ids),
    ]);
    const standing = new Map(states.map((state) => [state.findingId, state]));
    const due = new Map<string, AlsoDue[]>(siteKeys.map((key) => [key, []]));
    for (const id of ids) {
      const unit = units.get(id)!;
      const own = open.filter(({ unitId }) => unitId === id);
      const diagnosed = known.filter(({ unitId }) => unitId === id).map(({ document }) => document);
      const problems = [
        ...diagnosed.map(({ headline, urgency, symptoms }) => ({ headline, urgency, findings: symptoms })),
        ...unexplained(own, diagnosed).map(({ id: finding, document }) => ({
          ...{ headline: document.headline, urgency: document.urgency, findings: [finding] },
        })),
      ];
      due.get(unit.site.key)!.push(...problems.flatMap((each) => this.asDue(each, unit, given, standing)));
    }
    return due;
  }

  private asDue(
    { headline, urgency, findings }: { headline: Finding['headline']; urgency: Urgency; findings: string[] },
    unit: FleetUnit,
    given: ReadonlySet<string>,
    standing: ReadonlyMap<string, StateRow>,
  ): AlsoDue[] {
    if (!asks(urgency) || findings.some((id) => given.has(id))) return [];
    const states = findings.flatMap((id) => standing.get(id) ?? []);
    if (states.some((state) => waits(state, this.now_s()))) return [];
    const assignee = states.find(({ kind }) => kind === 'hand-over')?.assignee?.name ?? null;
    return [{ unit: { key: unit.key, name: unit.name }, headline, urgency, assignee }];
  }

  private async unitsOf(ids: readonly number[]): Promise<Map<number, FleetUnit>> {
    const units = await this.parts.registry.units([...new Set(ids)]);
    return new Map(units.map((unit) => [unit.id, unit]));
  }
}

/** Put off, accepted or closed, and not back. */
function waits(state: StateRow, now_s: number): boolean {
  const { kind, back } = standingNow(state, now_s);
  return back === null && kind !== 'handed-over' && kind !== 'open';
}
