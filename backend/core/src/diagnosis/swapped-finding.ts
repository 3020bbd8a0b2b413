import { finishFinding } from './draft.js';
import type { Finding } from './finding.js';
import { quantity, statement, type Statement } from './statement.js';

/** A sensor of one circuit that reads another circuit, and what shows it. */
export interface SwappedSensor {
  sensor: string;
  circuit: number;
  swappedWith: number;
  /** The second half of the headline. */
  shows: string;
  because: Statement;
  seen: { from_s: number; to_s: number };
  shownBy?: Finding['shownBy'];
}

/** That a sensor of two circuits is swapped between them, said of one of the two. */
export const swappedFinding = ({
  sensor,
  circuit,
  swappedWith,
  shows,
  because,
  seen,
  shownBy,
}: SwappedSensor): Finding =>
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
        'Until this is corrected, superheat and everything else on both circuits is judged wrongly.',
      ),
      ...(shownBy ? { shownBy } : {}),
      visit: [statement('Trace both sensor cables, and put right the wiring or the point list.')],
    },
    {
      subject: { kind: 'sensor', circuit, sensor },
      hazards: ['live-parts'],
      firstSeen_s: seen.from_s,
      lastSeen_s: seen.to_s,
    },
  );
