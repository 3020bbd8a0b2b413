import type { Problem } from '../../components/problem/problems.js';
import { statementText, type Statement } from '../../quantities/statement-text.js';

/** Problems told in full, and those that get a line: what fits one side of A4 beside cautions and notes. */
export const toldInFull = 2;
export const toldInALine = 3;
/** What shows a problem, named beneath its cause. */
const mostSeen = 3;
const mostRivals = 2;
const mostThings = 7;

/** A problem as the brief tells it: the cause, what shows it, what follows from it, what else it could be. */
export interface ToldProblem {
  problem: Problem;
  seen: Statement[];
  follows: Statement[];
  rivals: { cause: string; weight: number }[];
}

export interface BriefContent {
  full: ToldProblem[];
  lines: Problem[];
  left: number;
  /** What to bring or do, each once, from all findings in the order of their problems. */
  bring: Statement[];
}

export function briefContent(problems: readonly Problem[]): BriefContent {
  return {
    full: problems.slice(0, toldInFull).map(told),
    lines: problems.slice(toldInFull, toldInFull + toldInALine),
    left: Math.max(0, problems.length - toldInFull - toldInALine),
    bring: once(problems.flatMap(findingsOf).flatMap(({ visit }) => visit)).slice(0, mostThings),
  };
}

const findingsOf = ({ lead, symptoms, consequences }: Problem) => [
  ...(lead === null ? [] : [lead]),
  ...symptoms,
  ...consequences,
];

function told(problem: Problem): ToldProblem {
  const { lead, symptoms, consequences, headline, diagnosis, unexplained, causes } = problem;
  const own = lead === null || lead.headline === headline ? [] : [lead.headline];
  // Where the finding itself is the headline, what it is based on stands beneath it instead.
  const reasons = own.length === 0 ? (lead?.reasons ?? []) : (lead?.reasons ?? []).slice(0, 1);
  return {
    problem,
    seen: once([...own, ...symptoms.map((symptom) => symptom.headline), ...reasons]).slice(0, mostSeen),
    follows: consequences.slice(0, 1).map((finding) => finding.headline),
    // The cause itself is the headline already.
    rivals: causes.slice(diagnosis === null || unexplained ? 0 : 1).slice(0, mostRivals),
  };
}

/** Each statement once, in order. */
function once(statements: readonly Statement[]): Statement[] {
  const byText = new Map<string, Statement>();
  for (const statement of statements) {
    const text = statementText(statement, 'si');
    if (!byText.has(text)) byText.set(text, statement);
  }
  return [...byText.values()];
}
