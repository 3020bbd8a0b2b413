import { finishFinding } from '../../diagnosis/draft.js';
import type { Finding, Hazard } from '../../diagnosis/finding.js';
import { undercharge } from './charge-findings.js';
import { condenserFouling } from './condenser-findings.js';
import type { Draft, FindingContext } from './finding-parts.js';
import { floodbackRisk, headroom, offSetpoint, starved } from './superheat-findings.js';
import { summarise } from '../windows/summaries.js';
import { hunting, valveAtLimit, valveWear } from './valve-findings.js';

/** All findings on one circuit that follow from its judged windows. Under an hour of steady running in a week nothing is said. */
export function circuitFindings(context: FindingContext): Finding[] {
  const week = summarise(context.week);
  if (!week || week.steadyMinutes < 60) return [];
  return [
    floodbackRisk(context, week),
    hunting(context, week),
    starved(context, week),
    offSetpoint(context, week),
    valveAtLimit(context),
    valveWear(context),
    undercharge(context, week),
    condenserFouling(context),
    headroom(context),
  ]
    .filter((draft): draft is Draft => draft !== null)
    .map((draft) => finish(context, draft));
}

function finish({ circuit, refrigerantHazards }: FindingContext, draft: Draft): Finding {
  const hands = draft.visit !== undefined && draft.visit.length > 0;
  return finishFinding(draft, {
    subject: { kind: 'circuit', circuit: circuit.number },
    hazards: hands
      ? [...new Set<Hazard>(['pressure', 'live-parts', ...refrigerantHazards, ...(draft.hazards ?? [])])]
      : [],
    firstSeen_s: draft.seen[0].from_s,
    lastSeen_s: draft.seen[draft.seen.length - 1].to_s,
  });
}
