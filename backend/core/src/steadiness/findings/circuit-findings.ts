import { finishFinding } from '../../diagnosis/draft.js';
import type { Finding, Hazard } from '../../diagnosis/finding.js';
import { belowZero } from './superheat/below-zero.js';
import { undercharge } from './supply/charge-findings.js';
import { condenserFouling } from './supply/condenser-findings.js';
import type { Draft, FindingContext } from './finding-parts.js';
import { likeFlooded, registeredTypeDraft, type LikeFlooded } from './superheat/like-flooded.js';
import { floodedFloodback } from './superheat/flooded-evaporator.js';
import { offSetpoint } from './superheat/off-setpoint.js';
import { floodbackRisk, headroom, starved } from './superheat/superheat-findings.js';
import { summarise } from '../windows/summaries.js';
import { hunting, valveAtLimit, valveWear } from './supply/valve-findings.js';

/** All findings on one circuit that follow from its judged windows. Under an hour of steady running in a week nothing is said. */
export function circuitFindings(context: FindingContext): Finding[] {
  const week = summarise(context.week);
  if (!week || week.steadyMinutes < 60) return [];
  const likeOne =
    context.evaporator === 'dry-expansion' ? likeFlooded(context.level ?? context, context) : null;
  const controlled = context.evaporator === 'dry-expansion' && likeOne === null;
  return [
    ...(likeOne ? [ofAnotherType(context, likeOne)] : levelFindings(context)),
    ofSuperheatControl(controlled, hunting(context, week)),
    controlled ? valveAtLimit(context) : null,
    valveWear(context),
    condenserFouling(context),
    controlled ? headroom(context) : null,
  ]
    .filter((draft): draft is Draft => draft !== null)
    .map((draft) => finish(context, draft));
}

/**
 * What follows from the level of superheat and of subcooling, corrected where a sensor's error was measured. A flooded
 * evaporator's level control leaves little subcooling by design, which says nothing of its charge.
 */
function levelFindings(context: FindingContext): (Draft | null)[] {
  const { level, evaporator } = context;
  const corrected: FindingContext = level ? { ...context, ...level } : context;
  const week = summarise(corrected.week);
  if (!week || week.steadyMinutes < 60) return [];
  // Off its setpoint by what the sensor is wrong says nothing new.
  const offset = level?.constantError ? [] : [offSetpoint(corrected, week)];
  const drafts =
    evaporator === 'dry-expansion'
      ? [...floodback(corrected, week), starved(corrected, week), ...offset, undercharge(corrected, week)]
      : [floodedFloodback(corrected)];
  return drafts.map((draft) =>
    draft && level && level.corrections.length > 0
      ? { ...draft, reasons: [...draft.reasons, ...level.corrections], corrected: true }
      : draft,
  );
}

/** Superheat under 0 K is said as such, and only watched where the evaporator may be a flooded one. */
function ofAnotherType(context: FindingContext, found: LikeFlooded): Draft | null {
  const typed = registeredTypeDraft(context, found);
  const negative = belowZero(context);
  return typed && negative
    ? {
        ...negative.draft,
        urgency: 'watch',
        score: typed.score,
        reasons: [...negative.draft.reasons, typed.headline],
      }
    : typed;
}

/**
 * The valve of a flooded evaporator holds a liquid level: superheat that swings there comes from load, water or level,
 * and is only watched.
 */
const ofSuperheatControl = (controlled: boolean, draft: Draft | null): Draft | null =>
  draft && !controlled ? { ...draft, urgency: 'watch' } : draft;

/** A superheat that no vapour can have is a finding of its own; floodback is claimed beside it only where liquid explains it. */
function floodback(
  context: FindingContext,
  week: NonNullable<ReturnType<typeof summarise>>,
): (Draft | null)[] {
  const negative = belowZero(context);
  if (!negative) return [floodbackRisk(context, week)];
  return negative.liquidPossible ? [floodbackRisk(context, week), negative.draft] : [negative.draft];
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
