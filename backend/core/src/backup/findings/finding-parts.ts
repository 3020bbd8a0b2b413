import {
  finishFinding,
  quantity,
  statement,
  type Finding,
  type FindingDraft,
  type Hazard,
} from '../../diagnosis/index.js';
import type { ModuleEntry } from '../../telemetry/index.js';
import type { ClosingJudgement } from '../closing/index.js';
import type { ModuleAssessment } from '../module-assessment.js';
import type { BackupSettings } from '../settings.js';
import { electrical } from './hazards.js';

export const dischargeFirst = statement(
  'Before touching the module: isolate it, wait, and measure that the capacitors are discharged.',
);
export const bringModule = (module: ModuleEntry) =>
  statement('Bring a replacement module ({capacitance}, {voltage}).', {
    capacitance: quantity('capacitance', module.ratedCapacitance_F),
    voltage: quantity('voltage', module.ratedVoltage_V),
  });
export const closeAfterwards = statement(
  'After the replacement, run a closing and see that the valve shuts.',
);
export const askForTest = statement(
  'Ask the site for a self-test at standstill and compare it with the last one.',
);

export interface ModuleDraft extends FindingDraft {
  hazards?: Hazard[];
  firstSeen_s: number;
  lastSeen_s: number;
}

export function moduleFinding(module: ModuleEntry, draft: ModuleDraft): Finding {
  const { hazards = electrical, firstSeen_s, lastSeen_s } = draft;
  const subject = { kind: 'module' as const, module: module.number };
  return finishFinding(draft, { subject, hazards, firstSeen_s, lastSeen_s });
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
