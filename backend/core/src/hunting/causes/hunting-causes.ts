import type { Statement } from '../../diagnosis/statement.js';
import {
  huntingCauses,
  type CauseExplanation,
  type HuntingCause,
} from '../../steadiness/circuit-assessment.js';
import { weighEvidence, type Weigh } from './cause-evidence.js';
import type { HuntingEvidence } from './hunting-evidence.js';

/** Names of the causes as a reader sees them. */
export const causeNames: Record<HuntingCause, string> = {
  'valve-friction': 'valve friction or lost steps',
  'loop-too-tight': 'control loop tuned too hard',
  'valve-too-large': 'valve too large for the duty, working nearly closed',
  'load-or-water-swings': 'load or water temperature that swings by itself',
  'under-steady-floor': 'superheat held under the steady floor',
  'circuits-disturb-each-other': 'two circuits disturbing each other',
  'measurement-noise': 'noise of the measurement',
};

interface Ledger {
  score: number;
  supports: Statement[];
  contradicts: Statement[];
}

/**
 * Weighs what may cause the hunting. Each piece of evidence adds to or takes from the log-odds of the causes it bears on
 * (weights are judgement, no source); the weights of the causes are the softmax. Likeliest first; causes without a word
 * for or against them are left out of the list but keep their probability.
 */
export function weighCauses(evidence: HuntingEvidence): CauseExplanation[] {
  const ledger = Object.fromEntries(
    huntingCauses.map((cause) => [cause, { score: prior[cause], supports: [], contradicts: [] }]),
  ) as unknown as Record<HuntingCause, Ledger>;
  const weigh: Weigh = (cause, points, sentence) => {
    const entry = ledger[cause];
    entry.score += points;
    if (sentence && points !== 0) (points > 0 ? entry.supports : entry.contradicts).push(sentence);
  };
  weighEvidence(evidence, weigh);
  const highest = Math.max(...huntingCauses.map((cause) => ledger[cause].score));
  const total = huntingCauses.reduce((sum, cause) => sum + Math.exp(ledger[cause].score - highest), 0);
  return huntingCauses
    .map((key) => ({
      key,
      cause: causeNames[key],
      weight: Math.exp(ledger[key].score - highest) / total,
      supports: ledger[key].supports,
      contradicts: ledger[key].contradicts,
    }))
    .sort((a, b) => b.weight - a.weight)
    .filter((cause, index) => index === 0 || cause.weight >= 0.03);
}

/** Log-odds before any evidence: tuning is the commonest cause (common practice, no source). */
const prior: Record<HuntingCause, number> = {
  'loop-too-tight': 1,
  'valve-friction': 0,
  'valve-too-large': 0,
  'load-or-water-swings': -0.5,
  'under-steady-floor': 0,
  'circuits-disturb-each-other': -1,
  'measurement-noise': -1,
};
