import type { Problem } from '../../components/problem/problems.js';
import { statementText, type Statement } from '../../quantities/statement-text.js';

/** How much is told: problems in full, what shows each, its rivals; problems in a line; things to bring. */
interface Measure {
  full: number;
  seen: number;
  rivals: number;
  lines: number;
  things: number;
}

/** From the most to the least; the first that fits one side of Letter beside cautions, picture and notes is taken. */
const measures: readonly Measure[] = [
  { full: 2, seen: 3, rivals: 2, lines: 3, things: 7 },
  { full: 2, seen: 2, rivals: 2, lines: 3, things: 6 },
  { full: 2, seen: 2, rivals: 1, lines: 2, things: 5 },
  { full: 1, seen: 3, rivals: 2, lines: 3, things: 5 },
  { full: 1, seen: 2, rivals: 1, lines: 2, things: 4 },
];
/** Printed lines that there is room for, and characters on each, beside and beneath what is always there. */
const problemLines = 30;
const problemWidth = 78;
const thingLines = 26;
const thingWidth = 44;

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

/** What a brief tells of the problems of a unit: as much as one side of a sheet holds. */
export function briefContent(problems: readonly Problem[]): BriefContent {
  const contents = measures.map((measure) => contentWithin(problems, measure));
  return contents.find(fitsSheet) ?? contents[contents.length - 1];
}

function contentWithin(problems: readonly Problem[], measure: Measure): BriefContent {
  const { full, lines } = measure;
  return {
    full: problems.slice(0, full).map((problem) => told(problem, measure)),
    lines: problems.slice(full, full + lines),
    left: Math.max(0, problems.length - full - lines),
    bring: once(problems.flatMap(findingsOf).flatMap(({ visit }) => visit)).slice(0, measure.things),
  };
}

function fitsSheet({ full, lines, bring }: BriefContent): boolean {
  const printed = (statements: readonly Statement[], width: number) =>
    statements.reduce((sum, said) => sum + linesOf(statementText(said, 'si').length, width), 0);
  const ofProblems = full.map(({ problem, seen, follows, rivals }) => {
    const { headline, check, diagnosis, cautions } = problem;
    const advice = diagnosis?.advice?.sentence;
    const texts = [headline, ...seen, ...follows, ...(check ? [check] : []), ...(advice ? [advice] : [])];
    // Each with its likelihood, after some words.
    const ofRivals = rivals.reduce((sum, { cause }) => sum + cause.length + 20, rivals.length > 0 ? 35 : 0);
    // Urgency and likelihood are a line, and a heading is set larger.
    return 2 + printed(texts, problemWidth) + linesOf(ofRivals, problemWidth) + 2 * cautions.length;
  });
  const inLines = printed(
    lines.map(({ headline }) => headline),
    problemWidth - 20,
  );
  return (
    ofProblems.reduce((sum, count) => sum + count, 0) + inLines <= problemLines &&
    printed(bring, thingWidth) <= thingLines
  );
}

const linesOf = (characters: number, width: number): number => Math.ceil(characters / width);

const findingsOf = ({ lead, symptoms, consequences }: Problem) => [
  ...(lead === null ? [] : [lead]),
  ...symptoms,
  ...consequences,
];

function told(problem: Problem, measure: Measure): ToldProblem {
  const { lead, symptoms, consequences, headline, diagnosis, unexplained, causes } = problem;
  const own = lead === null || lead.headline === headline ? [] : [lead.headline];
  // Where the finding itself is the headline, what it is based on stands beneath it instead.
  const reasons = own.length === 0 ? (lead?.reasons ?? []) : (lead?.reasons ?? []).slice(0, 1);
  return {
    problem,
    seen: once([...own, ...symptoms.map((symptom) => symptom.headline), ...reasons]).slice(0, measure.seen),
    follows: consequences.slice(0, 1).map((finding) => finding.headline),
    // The cause itself is the headline already.
    rivals: causes.slice(diagnosis === null || unexplained ? 0 : 1).slice(0, measure.rivals),
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
