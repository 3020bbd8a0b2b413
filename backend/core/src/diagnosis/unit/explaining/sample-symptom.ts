import type { Cause } from '../../cause.js';
import { finishFinding } from '../../draft.js';
import type { Explanation } from '../../finding.js';
import { statement } from '../../statement.js';
import type { Symptom } from './fewest-causes.js';

/** A symptom of a circuit with what it points to, for tests. */
export function sampleSymptom(
  condition: string,
  weights: Partial<Record<Cause, number>>,
  { circuit = 1, explanations = [] }: { circuit?: number; explanations?: Explanation[] } = {},
): Symptom {
  const finding = finishFinding(
    {
      condition,
      headline: statement('It is so.'),
      reasons: [],
      certainty: 'certain',
      urgency: 'next-visit',
      score: 10,
      waiting: statement('It waits.'),
      explanations,
    },
    { subject: { kind: 'circuit', circuit }, hazards: [], firstSeen_s: 100, lastSeen_s: 1000 },
  );
  const suspects = Object.entries(weights).map(([cause, weight]) => ({ cause: cause as Cause, weight }));
  return { finding, suspects };
}
