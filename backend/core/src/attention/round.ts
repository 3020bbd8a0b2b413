import {
  certainties,
  urgencies,
  type Certainty,
  type Finding,
  type FindingSubject,
  type Urgency,
} from '../diagnosis/finding.js';

/** What a unit's place depends on: a diagnosis with its cause as the condition, or a finding that none explains. */
export interface Problem {
  condition: string;
  subject: FindingSubject;
  urgency: Urgency;
  certainty: Certainty;
  waiting: { score: number };
}

/** One unit as the round takes it, with its open findings. */
export interface RoundUnit {
  /** Unique over the portfolio, e.g. `site/unit`; the last tie-break. */
  key: string;
  findings: Finding[];
  /** Left out: each finding is a problem of its own. */
  problems?: Problem[];
}

export interface RoundRow {
  /** From 1, over `rows` first and `watching` after them. */
  rank: number;
  key: string;
  /** Of the most urgent problem. */
  urgency: Urgency;
  /** What waiting costs: the highest score of each circuit, sensor or module, added over them, because one visit serves all. */
  waiting: number;
  /** In order: urgency, waiting cost, certainty, condition, subject. */
  problems: Problem[];
  /** Open findings in the same order. */
  findings: Finding[];
}

export interface Round {
  /** Units that ask something of someone. */
  rows: RoundRow[];
  /** Units with nothing but `watch` problems: information, not a call (ISA-18.2: what asks nothing of anyone is no alarm). */
  watching: RoundRow[];
}

/** `circuit/1`, `sensor/1/suction-pressure`, `module/1` or `unit`. */
export function subjectKey(subject: FindingSubject): string {
  switch (subject.kind) {
    case 'circuit':
      return `circuit/${subject.circuit}`;
    case 'sensor':
      return `sensor/${subject.circuit}/${subject.sensor}`;
    case 'module':
      return `module/${subject.module}`;
    case 'unit':
      return 'unit';
  }
}

const place = (urgency: Urgency): number => urgencies.indexOf(urgency);
const text = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

export const compareFindings = (a: Problem, b: Problem): number =>
  place(a.urgency) - place(b.urgency) ||
  b.waiting.score - a.waiting.score ||
  certainties.indexOf(a.certainty) - certainties.indexOf(b.certainty) ||
  text(a.condition, b.condition) ||
  text(subjectKey(a.subject), subjectKey(b.subject));

/**
 * The round: one row per unit with a problem, by urgency, then by what waiting costs, then by how many problems and how
 * certain the first, at last by key, so that the same findings always give the same order.
 */
export function rankRound(units: readonly RoundUnit[]): Round {
  const rows = units
    .map(({ key, findings, problems = findings }) => ({
      key,
      findings: [...findings].sort(compareFindings),
      problems: [...problems].sort(compareFindings),
    }))
    .filter(({ problems }) => problems.length > 0)
    .map((row): RoundRow => ({
      ...row,
      rank: 0,
      urgency: row.problems[0].urgency,
      waiting: waitingOf(row.problems),
    }));
  rows.sort(
    (a, b) =>
      place(a.urgency) - place(b.urgency) ||
      b.waiting - a.waiting ||
      b.problems.length - a.problems.length ||
      certainties.indexOf(a.problems[0].certainty) - certainties.indexOf(b.problems[0].certainty) ||
      text(a.key, b.key),
  );
  rows.forEach((row, index) => (row.rank = index + 1));
  return {
    rows: rows.filter((row) => row.urgency !== 'watch'),
    watching: rows.filter((row) => row.urgency === 'watch'),
  };
}

/** Scores of what asks for a visit; of `watch` problems only where nothing else is there. */
function waitingOf(problems: readonly Problem[]): number {
  const calls = problems.filter(({ urgency }) => urgency !== 'watch');
  const highest = new Map<string, number>();
  for (const { subject, waiting } of calls.length > 0 ? calls : problems) {
    const key = subjectKey(subject);
    highest.set(key, Math.max(highest.get(key) ?? 0, waiting.score));
  }
  let sum = 0;
  for (const score of highest.values()) sum += score;
  return sum;
}
