import {
  certainties,
  urgencies,
  type Finding,
  type FindingSubject,
  type Urgency,
} from '../diagnosis/finding.js';

/** One unit as the round takes it, with its open findings. */
export interface RoundUnit {
  /** Unique over the portfolio, e.g. `site/unit`; the last tie-break. */
  key: string;
  findings: Finding[];
}

export interface RoundRow {
  /** From 1, over `rows` first and `watching` after them. */
  rank: number;
  key: string;
  /** Of the most urgent finding. */
  urgency: Urgency;
  /** What waiting costs: the highest score of each circuit, sensor or module, added over them, because one visit serves all. */
  waiting: number;
  /** Open findings in order: urgency, waiting cost, certainty, condition, subject. */
  findings: Finding[];
}

export interface Round {
  /** Units that ask something of someone. */
  rows: RoundRow[];
  /** Units with nothing but `watch` findings: information, not a call (ISA-18.2: what asks nothing of anyone is no alarm). */
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

export const compareFindings = (a: Finding, b: Finding): number =>
  place(a.urgency) - place(b.urgency) ||
  b.waiting.score - a.waiting.score ||
  certainties.indexOf(a.certainty) - certainties.indexOf(b.certainty) ||
  text(a.condition, b.condition) ||
  text(subjectKey(a.subject), subjectKey(b.subject));

/**
 * The round: one row per unit with an open finding, by urgency, then by what waiting costs, then by how many findings
 * and how certain, at last by key, so that the same findings always give the same order.
 */
export function rankRound(units: readonly RoundUnit[]): Round {
  const rows = units
    .filter(({ findings }) => findings.length > 0)
    .map(({ key, findings }): RoundRow => {
      const open = [...findings].sort(compareFindings);
      return { rank: 0, key, urgency: open[0].urgency, waiting: waitingOf(open), findings: open };
    });
  rows.sort(
    (a, b) =>
      place(a.urgency) - place(b.urgency) ||
      b.waiting - a.waiting ||
      b.findings.length - a.findings.length ||
      certainties.indexOf(a.findings[0].certainty) - certainties.indexOf(b.findings[0].certainty) ||
      text(a.key, b.key),
  );
  rows.forEach((row, index) => (row.rank = index + 1));
  return {
    rows: rows.filter((row) => row.urgency !== 'watch'),
    watching: rows.filter((row) => row.urgency === 'watch'),
  };
}

/** Scores of what asks for a visit; of `watch` findings only where nothing else is there. */
function waitingOf(findings: readonly Finding[]): number {
  const calls = findings.filter((finding) => finding.urgency !== 'watch');
  const highest = new Map<string, number>();
  for (const finding of calls.length > 0 ? calls : findings) {
    const key = subjectKey(finding.subject);
    highest.set(key, Math.max(highest.get(key) ?? 0, finding.waiting.score));
  }
  let sum = 0;
  for (const score of highest.values()) sum += score;
  return sum;
}
