import { finishFinding } from './draft.js';
import type { Finding } from './finding.js';
import { quantity, statement, type Statement } from './statement.js';

/** That a sensor of two circuits is swapped between them, said of each of the two. */
export const swappedFindings = (
  sensor: string,
  [one, other]: readonly [number, number],
  shows: string,
  because: Statement,
  seen: { from_s: number; to_s: number },
): Finding[] =>
  [
    [one, other],
    [other, one],
  ].map(([circuit, swappedWith]) =>
    finishFinding(
      {
        condition: 'swapped-between-circuits',
        headline: statement(
          `The ${sensor.replace('-', ' ')} sensors of circuits {circuit} and {other} are swapped: ${shows}.`,
          { circuit: quantity('count', circuit), other: quantity('count', swappedWith) },
        ),
        reasons: [because],
        separatingCheck: statement(
          'Disconnect one of the two sensors and see on which circuit its value fails.',
        ),
        certainty: 'certain',
        urgency: 'this-week',
        score: 50,
        waiting: statement(
          'Until they are put right, superheat and everything else of both circuits is judged wrongly.',
        ),
        visit: [statement('Trace both sensor cables, and put right the wiring or the point list.')],
      },
      {
        subject: { kind: 'sensor', circuit, sensor },
        hazards: ['live-parts'],
        firstSeen_s: seen.from_s,
        lastSeen_s: seen.to_s,
      },
    ),
  );
