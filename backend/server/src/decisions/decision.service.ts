import { standardAtmospherePressure_Pa, suspectsOf, type Finding } from '@coldrounds/core';
import { BadEntryError, ChangedMeanwhileError } from '../people/bad-entry.js';
import { NotAllowedError, personOf, seesSite, type Identity } from '../people/identity.js';
import type { Ability } from '../people/roles.js';
import type { FleetUnit } from '../registry/fleet.js';
import { NotKnownError } from '../registry/fleet.service.js';
import type { Database } from '../storage/index.js';
import type { DecisionRepository, DecisionRow } from '../storage/decisions/decision.repository.js';
import type { AuditRepository } from '../storage/people/audit.repository.js';
import type { PersonRepository } from '../storage/people/person.repository.js';
import type { DiagnosisRepository } from '../storage/repositories/findings/diagnosis.repository.js';
import type {
  FindingRepository,
  StoredFinding,
} from '../storage/repositories/findings/finding.repository.js';
import type { FleetRepository } from '../storage/repositories/fleet.repository.js';
import type { ReadingRepository } from '../storage/repositories/readings/reading.repository.js';
import type { DecidedFinding, Decided, DecisionKind, HandReading, Seen } from './decision.js';
import { compareReading, minute_s } from './hand-readings.js';
import { standingView } from './standing-view.js';

/** A pressure as it was read: over the ambient pressure, or absolute. */
export type TypedReading = HandReading & { reference: 'gauge' | 'absolute' };

export type Wish =
  | { kind: 'hand-over'; version: number; assignee: number; due: string; reason: string | null }
  | { kind: 'put-off'; version: number; until: string | null; reason: string }
  | { kind: 'accept'; version: number; review: string; reason: string }
  | { kind: 'close'; version: number; seen: Seen; done: string; parts: string[]; readings: TypedReading[] }
  | { kind: 'note'; text: string };

export interface DecisionParts {
  database: Database;
  decisions: DecisionRepository;
  findings: FindingRepository;
  registry: Pick<FleetRepository, 'units'>;
  people: PersonRepository;
  readings: ReadingRepository;
  diagnoses: Pick<DiagnosisRepository, 'one' | 'openOfUnits'>;
  audit: AuditRepository;
  /** Called after a decision is committed. */
  decided: () => void;
}

const needed: Record<DecisionKind, Ability> = {
  'hand-over': 'plan',
  'put-off': 'plan',
  accept: 'plan',
  close: 'visit',
  note: 'note',
};

/** Deciding on findings, and what was decided. */
export class DecisionService {
  constructor(
    private readonly parts: DecisionParts,
    private readonly now_s: () => number = () => Date.now() / 1000,
  ) {}

  /** What was decided on a finding, oldest first, and where it stands. */
  async ofFinding(findingId: string) {
    const { decisions } = this.parts;
    const [finding, rows, [state]] = await Promise.all([
      this.parts.findings.one(findingId),
      decisions.ofFinding(asNumber(findingId)),
      decisions.states([asNumber(findingId)]),
    ]);
    if (finding === null && rows.length === 0) throw unknownFinding(findingId);
    return {
      finding: findingId,
      version: state?.version ?? 0,
      standing: state === undefined ? null : standingView(state, this.now_s()),
      said: finding === null ? null : (await this.known(finding)).said,
      decisions: rows.map(decisionView),
    };
  }

  /**
   * The finding that decisions on a diagnosis are made on: the symptom on which somebody decided last, so that a plan
   * goes on; else the most telling one that is still open.
   */
  async findingOfDiagnosis(diagnosisId: string): Promise<string> {
    const { diagnoses, decisions, findings } = this.parts;
    const diagnosis = await diagnoses.one(diagnosisId);
    if (diagnosis === null) throw new NotKnownError(`There is no diagnosis ${diagnosisId}.`);
    const { symptoms, consequences } = diagnosis.document;
    const [states, open] = await Promise.all([
      decisions.states(symptoms),
      findings.openOfUnits([diagnosis.unitId]),
    ]);
    const [newest] = states.sort((a, b) => b.decided.getTime() - a.decided.getTime());
    if (newest !== undefined) return newest.findingId;
    const pointing = symptoms.filter((id) => !consequences.includes(id));
    const lead = [...pointing, ...symptoms].find((id) => open.some((finding) => finding.id === id));
    if (lead === undefined)
      throw new NotKnownError(`None of the findings of diagnosis ${diagnosisId} is open any more.`);
    return lead;
  }

  /** Where findings stand; those on which nothing was decided, or that may not be seen, are left out. */
  async standings(findingIds: readonly string[], identity: Identity) {
    const states = await this.parts.decisions.states(findingIds);
    const seen = identity.sites === null ? states : await this.visible(states, identity);
    return { standings: seen.map((state) => standingView(state, this.now_s())) };
  }

  /** Everything that was ever planned on a unit's findings, the newest first. */
  async ofUnit(unitId: number) {
    const states = await this.parts.decisions.statesOfUnits([unitId]);
    return { standings: states.map((state) => standingView(state, this.now_s())) };
  }

  /**
   * Decides. Whoever has not seen the newest plan of the finding is told instead of overwriting it; the same decision
   * sent twice (by a phone that did not hear the answer) is one.
   */
  async decide(findingId: string, wish: Wish, key: string | null, who: Identity) {
    if (!who.abilities.has(needed[wish.kind]))
      throw new NotAllowedError(`The role ${who.role} does not allow this.`);
    const personId = personOf(who);
    const { database, decisions, findings, audit } = this.parts;
    const sent = key === null ? null : await decisions.byKey(key);
    if (sent !== null) return this.already(sent, findingId, personId);
    const finding = await findings.one(findingId);
    const [unit] = finding === null ? [] : await this.parts.registry.units([finding.unitId]);
    if (finding === null || unit === undefined) throw unknownFinding(findingId);
    const decided = await this.checked(wish, unit);
    const known = await this.known(finding);
    const row = { findingId: finding.id, unitId: unit.id, kind: wish.kind, personId, key };
    const held = await database.transaction(async (client) => {
      const id = await decisions.add(
        { ...row, document: decided, finding: known, plan: planOf(wish) },
        client,
      );
      if (id === null) return false;
      await audit.add(
        {
          ...{ personId, who: who.name, action: `decided: ${wish.kind}` },
          subject: `finding ${finding.id} of ${unit.site.key}/${unit.key}`,
          detail: { decision: id },
        },
        client,
      );
      await decisions.markUnit(unit.id, client);
      return true;
    });
    if (!held) throw new ChangedMeanwhileError(await this.meanwhile(finding.id));
    this.parts.decided();
    return this.ofFinding(finding.id);
  }

  /** The finding, with the cause of the unit's diagnosis that explains it, or else the one it points to by itself. */
  private async known(finding: StoredFinding): Promise<DecidedFinding> {
    const known = decidedFinding(finding.document);
    const diagnoses = await this.parts.diagnoses.openOfUnits([finding.unitId]);
    const diagnosis = diagnoses.find(({ document }) => document.symptoms.includes(finding.id))?.document;
    if (diagnosis === undefined) return known;
    const { cause, weight, certainty } = diagnosis;
    return { ...known, certainty, said: cause === 'something-else' ? null : { cause, weight } };
  }

  /** The same decision came before: it counts once. A key of somebody else's is not ours to answer. */
  private already(sent: DecisionRow, findingId: string, personId: number) {
    if (sent.findingId !== findingId || sent.person.id !== personId)
      throw new BadEntryError([{ name: 'key', reason: 'was used for another decision' }]);
    return this.ofFinding(findingId);
  }

  private async meanwhile(findingId: string): Promise<string> {
    const [state] = await this.parts.decisions.states([findingId]);
    return state === undefined
      ? 'There is no decision yet that this could follow. Read the finding again.'
      : `${state.by.name} has decided on this finding meanwhile. Read it again before you decide.`;
  }

  private async checked(wish: Wish, unit: FleetUnit): Promise<Decided> {
    const today = new Date(this.now_s() * 1000 - 86_400_000).toISOString().slice(0, 10);
    const future = (name: string, day: string) => {
      if (day < today) throw new BadEntryError([{ name, reason: 'lies in the past' }]);
    };
    if (wish.kind === 'hand-over') {
      future('due', wish.due);
      await this.checkAssignee(wish.assignee, unit);
      return { kind: wish.kind, assignee: wish.assignee, due: wish.due, reason: wish.reason };
    }
    if (wish.kind === 'put-off') {
      if (wish.until !== null) future('until', wish.until);
      return { kind: wish.kind, until: wish.until, reason: wish.reason };
    }
    if (wish.kind === 'accept') {
      future('review', wish.review);
      return { kind: wish.kind, review: wish.review, reason: wish.reason };
    }
    if (wish.kind === 'note') return { kind: wish.kind, text: wish.text };
    const readings = await Promise.all(wish.readings.map((reading) => this.compared(reading, unit)));
    return { kind: wish.kind, seen: wish.seen, done: wish.done, parts: wish.parts, readings };
  }

  private async checkAssignee(id: number, unit: FleetUnit): Promise<void> {
    const person = await this.parts.people.byId(id);
    const reason =
      person === null || !person.active
        ? 'there is no such person'
        : person.role === 'reader'
          ? `${person.name} can only read`
          : seesSite(person, unit.site.key)
            ? null
            : `${person.name} does not see this site`;
    if (reason !== null) throw new BadEntryError([{ name: 'assignee', reason }]);
  }

  private async compared({ reference, ...typed }: TypedReading, unit: FleetUnit) {
    const circuit = unit.circuits.find(({ number }) => number === typed.circuit);
    if (circuit === undefined)
      throw new BadEntryError([{ name: 'readings', reason: `there is no circuit ${typed.circuit}` }]);
    if (typed.at_s > this.now_s() + minute_s)
      throw new BadEntryError([{ name: 'readings', reason: 'a reading lies in the future' }]);
    const isGauge = reference === 'gauge' && typed.quantity.endsWith('pressure');
    const value = typed.value + (isGauge ? standardAtmospherePressure_Pa(unit.site.altitude_m) : 0);
    const series = await this.parts.readings.circuitSeries(
      circuit.id,
      typed.at_s - minute_s,
      typed.at_s + minute_s + 1,
    );
    return compareReading({ ...typed, value }, series, circuit.entry);
  }

  private async visible<State extends { unitId: number }>(
    states: readonly State[],
    identity: Identity,
  ): Promise<State[]> {
    const units = await this.parts.registry.units([...new Set(states.map(({ unitId }) => unitId))]);
    const seen = new Set(units.filter(({ site }) => seesSite(identity, site.key)).map(({ id }) => id));
    return states.filter(({ unitId }) => seen.has(unitId));
  }
}

const asNumber = (findingId: string): string => (/^\d{1,18}$/.test(findingId) ? findingId : '0');

const unknownFinding = (id: string) => new NotKnownError(`There is no finding ${id}.`);

/** What the plan of a finding becomes; a note leaves it as it is. */
function planOf(wish: Wish) {
  if (wish.kind === 'note') return null;
  const base = { expected: wish.version, assigneeId: null, due: null, dueAtEndOfDay: false };
  if (wish.kind === 'hand-over')
    return { ...base, assigneeId: wish.assignee, due: wish.due, dueAtEndOfDay: true };
  if (wish.kind === 'put-off') return { ...base, due: wish.until };
  if (wish.kind === 'accept') return { ...base, due: wish.review };
  return base;
}

/** What is kept of the finding beside a decision on it, with the cause that was said to be likeliest. */
export function decidedFinding(finding: Finding): DecidedFinding {
  const { condition, subject, headline, urgency, certainty } = finding;
  const [first] = suspectsOf(finding)
    .filter(({ cause }) => cause !== 'something-else')
    .sort((a, b) => b.weight - a.weight);
  return { condition, subject, headline, urgency, certainty, said: first ?? null };
}

const decisionView = ({ id, kind, person, at, document }: DecisionRow) => ({
  id,
  kind: kind as DecisionKind,
  by: person,
  at: at.toISOString(),
  decided: document as Decided,
});
