import type { Certainty, Diagnosis, Finding, FindingSubject, Urgency } from '../../api/types.js';
import type { Statement } from '../../quantities/statement-text.js';
import { certaintyWords, urgencies } from '../urgency/urgency.js';
import { capitalised } from '../../quantities/capitalised.js';

/** One problem of a unit: a cause with what it explains, or a finding that no cause explains. */
export interface Problem {
  key: string;
  /** Null: a finding that no diagnosis explains. */
  diagnosis: Diagnosis | null;
  /** None of the known causes explains what is seen. */
  unexplained: boolean;
  /** The cause; where none is known, what is seen. */
  headline: Statement;
  subject: FindingSubject;
  urgency: Urgency;
  certainty: Certainty;
  waiting: Finding['waiting'];
  since_s: number;
  /** The finding that shows it best, whose picture is drawn; null: it ended a moment ago. */
  lead: Finding | null;
  /** Others that point to the same cause. */
  symptoms: Finding[];
  /** What follows from the cause and is no problem of its own. */
  consequences: Finding[];
  check: Statement | null;
  /** What it could be, the likeliest first, each with its share. */
  causes: { cause: string; weight: number }[];
  /** Cautions of this problem, besides those of every visit. */
  cautions: string[];
}

interface Unit {
  diagnoses: readonly Diagnosis[];
  findings: readonly Finding[];
}

/** The problems of a unit in the order of the round: its diagnoses, and the findings that none of them explains. */
export function problemsOf({ diagnoses, findings }: Unit): Problem[] {
  const byId = new Map(findings.map((finding) => [finding.id, finding]));
  const explained = new Set(diagnoses.flatMap(({ symptoms }) => symptoms));
  return [
    ...diagnoses.map((diagnosis) => ofDiagnosis(diagnosis, byId)),
    ...findings.filter(({ id }) => !explained.has(id)).map(ofFinding),
  ].sort(
    (a, b) =>
      urgencies.indexOf(a.urgency) - urgencies.indexOf(b.urgency) || b.waiting.score - a.waiting.score,
  );
}

function ofDiagnosis(diagnosis: Diagnosis, byId: ReadonlyMap<string, Finding>): Problem {
  const follows = new Set(diagnosis.consequences);
  const known = diagnosis.symptoms.flatMap((id) => byId.get(id) ?? []);
  const pointing = known.filter(({ id }) => !follows.has(id));
  const lead = pointing[0] ?? known[0] ?? null;
  const unexplained = diagnosis.cause === 'something-else';
  const { id, subject, urgency, certainty, waiting, since_s, cautions } = diagnosis;
  return {
    key: `diagnosis ${id}`,
    diagnosis,
    unexplained,
    headline: unexplained && lead !== null ? lead.headline : diagnosis.headline,
    subject: unexplained && lead !== null ? lead.subject : subject,
    urgency,
    certainty,
    waiting,
    since_s,
    lead,
    symptoms: pointing.filter((finding) => finding !== lead),
    consequences: known.filter((finding) => follows.has(finding.id) && finding !== lead),
    check: diagnosis.separatingCheck,
    causes: causesOf(diagnosis, lead, unexplained),
    cautions,
  };
}

/** Of a cause that is named, the cause and its rivals; of what none explains, what the finding itself considers. */
function causesOf(
  { name, weight, rivals }: Diagnosis,
  lead: Finding | null,
  unexplained: boolean,
): Problem['causes'] {
  if (unexplained)
    return (lead?.explanations ?? []).map(({ cause, weight: share }) => ({ cause, weight: share }));
  return [{ cause: name, weight }, ...rivals.map((rival) => ({ cause: rival.name, weight: rival.weight }))];
}

const ofFinding = (finding: Finding): Problem => ({
  key: `finding ${finding.id}`,
  diagnosis: null,
  unexplained: false,
  headline: finding.headline,
  subject: finding.subject,
  urgency: finding.urgency,
  certainty: finding.certainty,
  waiting: finding.waiting,
  since_s: finding.firstSeen_s,
  lead: finding,
  symptoms: [],
  consequences: [],
  check: finding.separatingCheck,
  causes: finding.explanations.map(({ cause, weight }) => ({ cause, weight })),
  cautions: [],
});

/** A probability as a percentage: what is not certain is not called all. */
export const likelihood = (weight: number): string =>
  weight > 0.985 ? 'over 98 %' : `${Math.round(weight * 100)} %`;

/** How sure a cause is, in a few words. */
export const probabilityWords = ({ diagnosis, unexplained }: Problem): string | null =>
  diagnosis === null || unexplained ? null : `${likelihood(diagnosis.weight)} likely`;

/** The same as a sentence; of what has no likelihood, how certain it is. */
export const howSure = (problem: Problem): string => {
  const words = probabilityWords(problem);
  return words === null ? certaintyWords[problem.certainty] : `${capitalised(words)}.`;
};

/** Likelihoods of causes that exclude each other add up to no more than 1; else two of them may be there at once. */
export const mayBeTogether = (causes: readonly { weight: number }[]): boolean =>
  causes.reduce((sum, { weight }) => sum + weight, 0) > 1.02;
