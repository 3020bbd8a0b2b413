import type { Finding } from './finding.js';
import { quantity, statement } from './statement.js';

/**
 * One finding on the unit where every one of its circuits behaves like another refrigerant: the registry or the charge
 * of the unit is wrong, not the sensors of several circuits. Other findings stay as they are; a unit of one circuit keeps its own.
 */
export function mergeWrongRefrigerant<F extends Finding>(findings: readonly F[], circuits: number): F[] {
  const wrong = findings.filter(
    ({ condition, subject }) => condition === 'wrong-refrigerant' && subject.kind === 'sensor',
  );
  if (
    circuits < 2 ||
    new Set(wrong.map(({ subject }) => (subject.kind === 'sensor' ? subject.circuit : null))).size < circuits
  )
    return [...findings];
  const first = wrong[0]!;
  const merged: F = {
    ...first,
    subject: { kind: 'unit' },
    headline:
      circuits === 2
        ? statement(
            first.headline.text.replace(/^The circuit behaves/, 'Both circuits behave'),
            first.headline.quantities,
          )
        : statement(first.headline.text.replace(/^The circuit behaves/, 'All {circuits} circuits behave'), {
            ...first.headline.quantities,
            circuits: quantity('count', circuits),
          }),
    // Sentences that hold for each circuit alike are said once.
    reasons: wrong
      .flatMap(({ reasons }) => reasons)
      .filter(({ text }, index, all) => all.findIndex((other) => other.text === text) === index),
    certainty: wrong.every(({ certainty }) => certainty === first.certainty) ? first.certainty : 'likely',
    waiting: {
      ...first.waiting,
      score: Math.max(...wrong.map(({ waiting }) => waiting.score)),
    },
    firstSeen_s: Math.min(...wrong.map(({ firstSeen_s }) => firstSeen_s)),
    lastSeen_s: Math.max(...wrong.map(({ lastSeen_s }) => lastSeen_s)),
  };
  return findings.flatMap((finding) =>
    finding === first ? [merged] : wrong.includes(finding) ? [] : [finding],
  );
}
