import {
  certainties,
  causeName,
  mergeWrongRefrigerant,
  rankRound,
  subjectKey,
  urgencies,
  type Finding,
} from '@coldrounds/core';
import { unitName, type FleetUnit } from '../registry/fleet.js';
import type { KeptPlace } from '../storage/repositories/findings/attention.repository.js';
import type { DiagnosisDocument } from '../storage/repositories/findings/diagnosis.repository.js';

/** Place of a unit with no finding: after all others. */
export const nothingFound = urgencies.length;

/** As much of a diagnosis as a place on the round depends on. */
export type PlacedDiagnosis = Pick<
  DiagnosisDocument,
  'cause' | 'subject' | 'urgency' | 'certainty' | 'weight' | 'symptoms' | 'since_s'
> & { waiting: { score: number }; headline: { text: string } };

/** What a search for words looks through: names, refrigerant, firmware, climate, headlines and causes. */
function wordsOf(
  unit: FleetUnit,
  findings: readonly Finding[],
  diagnoses: readonly PlacedDiagnosis[],
): string {
  return [
    unit.site.name,
    unit.site.climate,
    unit.name,
    unit.key,
    unit.refrigerant,
    unit.controllerFirmware,
    ...diagnoses.flatMap(({ cause, headline }) => [cause, causeName(cause), headline.text]),
    ...findings.flatMap(({ headline, explanations }) => [
      headline.text,
      ...explanations.map(({ cause }) => cause),
    ]),
  ]
    .join(' ')
    .toLowerCase();
}

/** The findings that no diagnosis has among its symptoms. */
export function unexplained<Open extends { id: string }>(
  findings: readonly Open[],
  diagnoses: readonly Pick<DiagnosisDocument, 'symptoms'>[],
): Open[] {
  const explained = new Set(diagnoses.flatMap(({ symptoms }) => symptoms));
  return findings.filter(({ id }) => !explained.has(id));
}

/** Where a unit stands on the round by its diagnoses and what they leave unexplained, in the order that core gives (`rankRound`). */
export function attentionOf(
  unit: FleetUnit,
  open: readonly Told[],
  diagnoses: readonly PlacedDiagnosis[],
): KeptPlace {
  const name = unitName(unit);
  const findings = mergeWrongRefrigerant(
    open.map(({ document }) => document),
    unit.circuits.length,
  );
  const problems = [
    ...diagnoses.map((diagnosis) => ({ ...diagnosis, condition: diagnosis.cause })),
    ...mergeWrongRefrigerant(
      unexplained(open, diagnoses).map(({ document }) => document),
      unit.circuits.length,
    ),
  ];
  const { rows, watching } = rankRound([{ key: name, findings, problems }]);
  const row = rows[0] ?? watching[0];
  const base = {
    unitId: unit.id,
    siteId: unit.site.id,
    name,
    words: wordsOf(unit, findings, diagnoses),
    neverHeard: unit.heardAt == null,
  };
  if (row === undefined)
    return {
      ...base,
      urgency: nothingFound,
      waiting: 0,
      findings: 0,
      certainty: certainties.length,
      silent: false,
      cause: null,
      weight: null,
      since_s: null,
    };
  const first = row.problems[0];
  const diagnosis = diagnoses.find(
    ({ cause, subject }) => cause === first.condition && subject === first.subject,
  );
  return {
    ...base,
    urgency: urgencies.indexOf(row.urgency),
    waiting: -row.waiting,
    findings: -row.problems.length,
    certainty: certainties.indexOf(first.certainty),
    silent: findings.some(({ condition }) => condition === 'no-telemetry'),
    cause: diagnosis?.cause ?? null,
    weight: diagnosis?.weight ?? null,
    since_s: diagnosis === undefined ? sinceOfFinding(first, open) : sinceOfDiagnosis(diagnosis, open),
  };
}

interface Told {
  id: string;
  document: Finding;
  openedAt: Date;
}

/** When the first of some findings was told, s. */
const toldAt_s = (findings: readonly Told[]): number =>
  Math.min(...findings.map(({ openedAt }) => openedAt.getTime() / 1000));

/**
 * Since when a cause is known: what points to it was seen in the data, or one of its findings was told before what is
 * still stored.
 */
const sinceOfDiagnosis = ({ since_s, symptoms }: PlacedDiagnosis, open: readonly Told[]): number =>
  Math.min(since_s, toldAt_s(open.filter(({ id }) => symptoms.includes(id))));

/** The same of a finding that none explains; one that was merged from several has its own subject. */
function sinceOfFinding(
  { condition, subject }: Pick<Finding, 'subject'> & { condition: string },
  open: readonly Told[],
): number {
  const alike = open.filter(({ document }) => document.condition === condition);
  const same = alike.filter(({ document }) => subjectKey(document.subject) === subjectKey(subject));
  const found = same.length > 0 ? same : alike;
  return Math.min(toldAt_s(found), ...found.map(({ document }) => document.firstSeen_s));
}

/** A change of the score by less is not told to open pages. Judgement: scores run from 0 to 100. */
const toldScore = 0.5;

/** Whether a reader of the round would see a difference. */
export function isTold(before: KeptPlace | undefined, now: KeptPlace): boolean {
  return (
    before === undefined ||
    before.urgency !== now.urgency ||
    before.findings !== now.findings ||
    before.certainty !== now.certainty ||
    before.name !== now.name ||
    before.silent !== now.silent ||
    before.neverHeard !== now.neverHeard ||
    before.cause !== now.cause ||
    before.words !== now.words ||
    Math.abs(before.waiting - now.waiting) >= toldScore
  );
}
