import type { Finding } from './finding.js';
import { quantity, statement } from './statement.js';

/** A plain finding on a sensor, for tests. */
export const sensorFinding = (condition: string, sensor: string, change: Partial<Finding> = {}): Finding => ({
  condition,
  subject: { kind: 'sensor', circuit: 1, sensor },
  headline: statement('The circuit behaves like R513A, not like the registered R134a.'),
  reasons: [statement('It is off by {off}.', { off: quantity('temperature-difference', 2) })],
  explanations: [],
  separatingCheck: null,
  certainty: 'likely',
  urgency: 'this-week',
  waiting: { score: 40, sentence: statement('It costs.') },
  visit: [],
  hazards: [],
  firstSeen_s: 100,
  lastSeen_s: 200,
  ...change,
});
