import type { Finding } from '../../api/types.js';
import { statementText, type Statement } from '../../quantities/statement-text.js';

/** Findings told in full, and those that get a line: what fits one side of A4 beside cautions and notes. */
export const toldInFull = 2;
export const toldInALine = 3;
const mostThings = 7;

export interface BriefContent {
  full: Finding[];
  lines: Finding[];
  left: number;
  /** What to bring or do, each once, from all findings in their order. */
  bring: Statement[];
}

export function briefContent(findings: readonly Finding[]): BriefContent {
  const seen = new Set<string>();
  const bring: Statement[] = [];
  for (const finding of findings)
    for (const statement of finding.visit) {
      const text = statementText(statement, 'si');
      if (seen.has(text) || bring.length >= mostThings) continue;
      seen.add(text);
      bring.push(statement);
    }
  return {
    full: findings.slice(0, toldInFull),
    lines: findings.slice(toldInFull, toldInFull + toldInALine),
    left: Math.max(0, findings.length - toldInFull - toldInALine),
    bring,
  };
}
