import {
  certainties,
  urgencies,
  type Finding,
  type FindingSubject,
  type Urgency,
} from '../diagnosis/finding.js';

/** One unit as the round takes it: its open findings, and what a person has set aside for a time. */
export interface RoundUnit {
  /** Unique over the portfolio, e.g. `site/unit`; the last tie-break. */
  key: string;
  findings: Finding[];
  shelved?: Shelving[];
}

/** A finding set aside by a person, with a reason, until a moment at which it returns by itself. */
export interface Shelving {
  subjectKey: string;
  condition: string;
  until_s: number;
  by: string;
  reason: string;
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
  shelvedCount: number;
}

export interface Round {
  asOf_s: number;
  /** Units that ask something of someone. */
  rows: RoundRow[];
  /** Units with nothing but `watch` findings: information, not a call (ISA-18.2: what asks nothing of anyone is no alarm). */
  watching: RoundRow[];
  quietUnits: number;
  shelvedFindings: number;
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
 * What a person has set aside stays out until its time is up, and is counted.
 */
export function rankRound(units: readonly RoundUnit[], asOf_s: number): Round {
  const rows: RoundRow[] = [];
  let quietUnits = 0;
  let shelvedFindings = 0;
  for (const unit of units) {
    const open = unit.findings.filter((finding) => !isShelved(finding, unit.shelved ?? [], asOf_s));
    const shelvedCount = unit.findings.length - open.length;
    shelvedFindings += shelvedCount;
    if (open.length === 0) {
      quietUnits++;
      continue;
    }
    open.sort(compareFindings);
    rows.push({
      rank: 0,
      key: unit.key,
      urgency: open[0].urgency,
      waiting: waitingOf(open),
      findings: open,
      shelvedCount,
    });
  }
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
    asOf_s,
    rows: rows.filter((row) => row.urgency !== 'watch'),
    watching: rows.filter((row) => row.urgency === 'watch'),
    quietUnits,
    shelvedFindings,
  };
}

export const isShelved = (finding: Finding, shelved: readonly Shelving[], asOf_s: number): boolean =>
  shelved.some(
    (shelving) =>
      shelving.condition === finding.condition &&
      shelving.subjectKey === subjectKey(finding.subject) &&
      shelving.until_s > asOf_s,
  );

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
