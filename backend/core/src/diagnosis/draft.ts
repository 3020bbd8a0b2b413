import type {
  Certainty,
  Explanation,
  Finding,
  FindingSubject,
  Hazard,
  SensorError,
  Urgency,
} from './finding.js';
import type { Statement } from './statement.js';

/** What every finding is drafted as, before it is given its subject, its cautions and the time it was seen. */
export interface FindingDraft {
  condition: string;
  headline: Statement;
  reasons: Statement[];
  explanations?: Explanation[];
  separatingCheck?: Statement | null;
  certainty: Certainty;
  urgency: Urgency;
  /** Of waiting; brought to a whole number from 0 to 100. */
  score: number;
  waiting: Statement;
  visit?: Statement[];
  error?: SensorError;
  corrected?: true;
  shownBy?: Finding['shownBy'];
}

/** The finding that a draft describes, its explanations with the likeliest first. */
export function finishFinding(
  draft: FindingDraft,
  about: { subject: FindingSubject; hazards: Hazard[]; firstSeen_s: number; lastSeen_s: number },
): Finding {
  return {
    condition: draft.condition,
    subject: about.subject,
    headline: draft.headline,
    reasons: draft.reasons,
    explanations: [...(draft.explanations ?? [])].sort((a, b) => b.weight - a.weight),
    separatingCheck: draft.separatingCheck ?? null,
    certainty: draft.certainty,
    urgency: draft.urgency,
    waiting: { score: Math.round(Math.min(100, Math.max(0, draft.score))), sentence: draft.waiting },
    visit: draft.visit ?? [],
    hazards: about.hazards,
    ...(draft.error ? { error: draft.error } : {}),
    ...(draft.corrected ? { corrected: true } : {}),
    ...(draft.shownBy ? { shownBy: draft.shownBy } : {}),
    firstSeen_s: about.firstSeen_s,
    lastSeen_s: about.lastSeen_s,
  };
}
