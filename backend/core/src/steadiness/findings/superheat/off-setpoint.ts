import type { Urgency } from '../../../diagnosis/finding.js';
import { statement, type Statement } from '../../../diagnosis/statement.js';
import type { SpanSummary } from '../../circuit-assessment.js';
import {
  fraction,
  K,
  minutes,
  opening,
  steadyMean,
  type Draft,
  type FindingContext,
} from '../finding-parts.js';
import { hunts } from '../../windows/summaries.js';
import type { ValveUse, WindowJudgement } from '../../windows/window-judgement.js';

/** Smaller distances are of no use to anyone; common practice, no source. */
const least_K = 1.5;
/** Of a window's running time; more at an end of the travel and the valve is not free. */
const mostAtEnd = 0.05;
/** A window shows the distance where it has half of it. Judgement, no source. */
const lasting = 0.5;
/** A valve that moves by less than this over two hours is not being driven, %. */
const stands_pct = 0.5;

/**
 * Superheat that stays away from the setpoint.
 *
 * A controller with an integral part takes any lasting distance away, as it sees it, unless its valve is at an end of
 * its travel; there the valve is the finding, and nothing is said here. So a distance with the valve free to move tells
 * that superheat or setpoint as sent are not those that the controller works with, or that something else holds the
 * valve. Which of these it is the telemetry cannot tell, but for whether the valve moves. Cycles of hunting have a mean
 * of their own and are left out.
 */
export function offSetpoint({ week: windows }: FindingContext, week: SpanSummary): Draft | null {
  const free = windows.filter((window) => window.superheat?.offset_K != null && isFree(window));
  const held = steadyMean(free, ({ superheat }) => superheat!.offset_K);
  if (held === null || held.minutes < 60 || held.minutes < 0.5 * week.steadyMinutes) return null;
  const offset = held.mean;
  const uncertainty = steadyMean(free, ({ superheat }) => superheat!.uncertainty_K)!.mean;
  if (Math.abs(offset) < Math.max(least_K, 2 * uncertainty) || (week.starvedFraction ?? 0) >= 0.2)
    return null;
  // What comes and goes with the load, such as a bypass of hot gas, is no lasting distance.
  const same = free.filter(
    ({ superheat }) => superheat!.offset_K! * Math.sign(offset) >= lasting * Math.abs(offset),
  );
  const minutesSame = same.reduce((sum, window) => sum + window.superheat!.minutes, 0);
  if (minutesSame < 0.7 * held.minutes) return null;
  const urgency: Urgency = Math.abs(offset) >= 3 ? 'next-visit' : 'watch';
  return {
    condition: 'superheat-off-setpoint',
    headline: statement(
      offset > 0
        ? "Superheat stays {offset} over the controller's setpoint."
        : "Superheat stays {offset} under the controller's setpoint.",
      { offset: K(Math.abs(offset), uncertainty) },
    ),
    reasons: [
      statement('In {share} of steady running it is on the same side of the setpoint.', {
        share: fraction(minutesSame / held.minutes),
      }),
      whatTheValveTells(same),
      statement('Based on {steady} of steady running.', { steady: minutes(held.minutes) }),
    ],
    separatingCheck: statement(
      "Read superheat and setpoint on the controller itself: where both differ from these, the telemetry's sensors or settings do; where they agree, look for a limit, a manual setting or a missing integral part in the controller.",
    ),
    certainty: 'likely',
    urgency,
    score: Math.min(40, 6 * Math.abs(offset)),
    waiting: statement(
      'Waiting costs a little energy or safety: the evaporator does not work where it was set to work.',
    ),
    visit: [
      statement(
        "Compare the controller's own pressure, temperature and setpoint with a reference and with these readings.",
      ),
    ],
    seen: same,
  };
}

/** Not at an end of its travel, as far as the opening is sent, and not in a cycle. */
const isFree = (window: WindowJudgement): boolean =>
  !hunts(window) &&
  (window.valve === null ||
    (window.valve.nearOpenFraction <= mostAtEnd && window.valve.nearShutFraction <= mostAtEnd));

function whatTheValveTells(windows: readonly WindowJudgement[]): Statement {
  const sent = windows.flatMap(({ valve }) => valve ?? []);
  if (sent.length < windows.length / 2)
    return statement(
      'The valve opening is not sent: whether the valve is at an end of its travel cannot be told.',
    );
  const standing = sent.filter(({ minimum_pct, maximum_pct }) => maximum_pct - minimum_pct < stands_pct);
  return standing.length > sent.length / 2
    ? statement(
        'The valve stands at {opening}, away from the ends of its travel: a limit or a manual setting holds it there, or it does not move.',
        { opening: opening(meanOpening(standing)) },
      )
    : statement(
        'The valve moves and is not at an end of its travel: a controller with an integral part would take the distance away, so it works with another superheat or setpoint than these, or something else limits it.',
      );
}

const meanOpening = (valves: readonly ValveUse[]): number =>
  valves.reduce((sum, { mean_pct }) => sum + mean_pct, 0) / valves.length;
