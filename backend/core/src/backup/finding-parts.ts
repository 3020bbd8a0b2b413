import {
  quantity,
  statement,
  type Certainty,
  type Explanation,
  type Finding,
  type Hazard,
  type Statement,
  type Urgency,
} from '../diagnosis/index.js';
import type { ModuleEntry } from '../telemetry/index.js';
import type { BackupSettings, ClosingJudgement, ModuleAssessment } from './types.js';

/** What hands on any module must reckon with. */
export const electrical: Hazard[] = ['charged-capacitor', 'live-parts'];

export const dischargeFirst = statement(
  'Before touching the module: isolate it, wait, and measure that the capacitors are discharged.',
);
export const bringModule = (module: ModuleEntry) =>
  statement('Bring a replacement module ({capacitance}, {voltage}).', {
    capacitance: quantity('capacitance', module.ratedCapacitance_F),
    voltage: quantity('voltage', module.ratedVoltage_V),
  });
export const askForTest = statement('Ask site for a self-test at standstill and compare it with this one.');

export interface FindingDraft {
  condition: string;
  headline: Statement;
  reasons: Statement[];
  explanations?: Explanation[];
  separatingCheck?: Statement | null;
  certainty: Certainty;
  urgency: Urgency;
  score: number;
  waiting: Statement;
  visit: Statement[];
  hazards?: Hazard[];
  firstSeen_s: number;
  lastSeen_s: number;
}

export function moduleFinding(module: ModuleEntry, draft: FindingDraft): Finding {
  return {
    condition: draft.condition,
    subject: { kind: 'module', module: module.number },
    headline: draft.headline,
    reasons: draft.reasons,
    explanations: draft.explanations ?? [],
    separatingCheck: draft.separatingCheck ?? null,
    certainty: draft.certainty,
    urgency: draft.urgency,
    waiting: { score: Math.round(Math.min(100, Math.max(0, draft.score))), sentence: draft.waiting },
    visit: draft.visit,
    hazards: draft.hazards ?? electrical,
    firstSeen_s: draft.firstSeen_s,
    lastSeen_s: draft.lastSeen_s,
  };
}

export interface FindingContext {
  module: ModuleEntry;
  closings: readonly ClosingJudgement[];
  now_s: number;
  settings: BackupSettings;
  /** What is in the circuits, `null` where unknown. */
  refrigerant: string | null;
  assessment: Omit<ModuleAssessment, 'findings'>;
}
