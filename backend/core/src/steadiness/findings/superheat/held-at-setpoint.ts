import { causeNames } from '../../../hunting/causes/hunting-causes.js';
import { median } from '../../../numerics/index.js';
import { statement } from '../../../diagnosis/statement.js';
import { K, type Draft } from '../finding-parts.js';
import { hunts, minutesUnderLimit } from '../../windows/summaries.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** A mean that lies no farther from the setpoint is held there by the controller, K. Judgement, no source. */
const held_K = 0.7;
/** Of the time under the limit, in so much the controller must hold its setpoint and nothing hunt. Judgement, no source. */
const most = 0.8;
/** A setpoint that was lowered by this, K. Under the resolution of the settings of usual controllers nothing was. Judgement, no source. */
const lowered_K = 0.3;
/** Under the limit for at most this share of the time now, the circuit was dry before. Judgement, no source. */
const dryBefore = 0.2;
/** Of ten circuits that are found so, in how many the setpoint is at fault, and not a sensor or the loop. Judgement, no source. */
const belief = { held: 0.7, lowered: 0.85 };

/**
 * What explains superheat under its limit where the controller does what it is told: it holds its setpoint on average, the valve neither
 * hunts nor leaks past it (superheat would lie under the setpoint), and so the setpoint leaves too little room for what superheat
 * moves by itself. The surer where the setpoint was lowered since a time in which the circuit was dry. Nothing where that is not
 * so, or no setpoint is sent.
 */
export function heldAtSetpoint(
  windows: readonly WindowJudgement[],
  earlier: readonly WindowJudgement[] = [],
): Pick<Draft, 'explanations'> {
  const seen = windows.filter((window) => minutesUnderLimit(window) > 0);
  const total = sumOf(seen, minutesUnderLimit);
  const held = seen.filter(
    (window) => Math.abs(window.superheat?.offset_K ?? Infinity) <= held_K && !hunts(window),
  );
  if (!(sumOf(held, minutesUnderLimit) >= most * total) || held.length === 0) return {};
  const setpoint = setpointOf(held);
  const before = setpointOf(earlier);
  if (setpoint === null) return {};
  const lowered =
    before !== null &&
    before - setpoint >= lowered_K &&
    shareUnder(earlier) <= dryBefore * shareUnder(windows);
  return {
    explanations: [
      {
        cause: causeNames['under-steady-floor'],
        weight: lowered ? belief.lowered : belief.held,
        supports: [
          statement('The controller holds superheat at its setpoint of {setpoint}, and it does not hunt.', {
            setpoint: K(setpoint),
          }),
          ...(lowered
            ? [
                statement('The setpoint was {before} before, and superheat stayed over the limit.', {
                  before: K(before),
                }),
              ]
            : []),
        ],
        contradicts: [],
      },
    ],
  };
}

const sumOf = (windows: readonly WindowJudgement[], of: (window: WindowJudgement) => number): number =>
  windows.reduce((sum, window) => sum + of(window), 0);

function shareUnder(windows: readonly WindowJudgement[]): number {
  const minutes = sumOf(windows, ({ superheat }) => superheat?.minutes ?? 0);
  return minutes > 0 ? sumOf(windows, minutesUnderLimit) / minutes : 0;
}

function setpointOf(windows: readonly WindowJudgement[]): number | null {
  const sent = windows.flatMap(({ superheat }) => superheat?.setpoint_K ?? []);
  return sent.length > 0 ? median(sent) : null;
}
