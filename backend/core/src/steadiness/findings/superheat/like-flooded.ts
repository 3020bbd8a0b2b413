import { median } from '../../../numerics/index.js';
import { statement } from '../../../diagnosis/statement.js';
import { hunts, minutesUnderLimit } from '../../windows/summaries.js';
import { dischargeEvidence } from './discharge-evidence.js';
import { fraction, K, minutes, type Draft, type FindingContext } from '../finding-parts.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Judgement, no source. */
const limits = {
  minutes: 120,
  /** Of the steady time, so much must look so. */
  fraction: 0.8,
  /** Superheat that vapour over a liquid level has, and the range that 90 % of it lie in, K; with twice the sensors' uncertainty to either side. */
  highest_K: 3.5,
  lowest_K: 0,
  range_K: 2,
  /** Leaving water over saturation: a flooded shell comes closer to its water than dry tubes, K. */
  approach_K: 5,
  /** The valve's moves go with superheat's by less than this. */
  follows: 0.5,
  hunting: 0.2,
};

/** What was seen of an evaporator that is registered as dry-expansion and holds superheat as a flooded one does. */
export interface LikeFlooded {
  seen: WindowJudgement[];
  minutes: number;
  fraction: number;
  mean_K: number;
  approach_K: number | null;
  /** The opening is sent, and does not go with superheat. */
  valveSeen: boolean;
}

/**
 * Whether a circuit's superheat is that of vapour over a liquid level, as in a flooded or falling-film evaporator: 0 to 3 K
 * and calm at every load, no setpoint that anyone holds, a valve whose moves have nothing to do with it, and water that leaves
 * close to saturation. In dry tubes superheat so low does not stay calm (the minimum stable superheat: Huelle 1967, from
 * memory), and a controller would act against it. Liquid that passes a valve stuck open can look the same for a while: what
 * can be told is that the registered type is to be checked. Null where it does not look so, or the discharge shows liquid.
 *
 * @param level the week's windows, superheat corrected where a sensor's error was measured
 */
export function likeFlooded(
  level: Pick<FindingContext, 'week'>,
  { refrigerant, dischargeSuperheatKnown }: Pick<FindingContext, 'refrigerant' | 'dischargeSuperheatKnown'>,
): LikeFlooded | null {
  const judged = level.week.filter(({ superheat }) => superheat !== null);
  if (judged.length === 0 || judged.some(({ superheat }) => superheat!.setpoint_K !== null)) return null;
  const seen = judged.filter(isCalmAndLow);
  const all = minutesOf(judged);
  const time = minutesOf(seen);
  if (time < limits.minutes || time < limits.fraction * all) return null;
  if (seen.filter(hunts).length > limits.hunting * seen.length) return null;
  const follows = seen.flatMap(({ valve }) => valve?.followsSuperheat ?? []);
  if (follows.length > 0 && median(follows.map(Math.abs)) >= limits.follows) return null;
  const approaches = seen.flatMap(({ conditions }) => {
    const { leavingWaterTemperature_K, evaporatingTemperature_K } = conditions;
    return leavingWaterTemperature_K === null || evaporatingTemperature_K === null
      ? []
      : [leavingWaterTemperature_K - evaporatingTemperature_K];
  });
  const approach_K = approaches.length > 0 ? median(approaches) : null;
  if (approach_K !== null && approach_K > limits.approach_K) return null;
  if (dischargeSuperheatKnown && showsLiquid(seen, refrigerant)) return null;
  return {
    seen,
    minutes: all,
    fraction: time / all,
    mean_K: seen.reduce((sum, { superheat }) => sum + superheat!.minutes * superheat!.mean_K, 0) / time,
    approach_K,
    valveSeen: follows.length > 0,
  };
}

const minutesOf = (windows: readonly WindowJudgement[]): number =>
  windows.reduce((sum, { superheat }) => sum + superheat!.minutes, 0);

function isCalmAndLow({ superheat }: WindowJudgement): boolean {
  const { percentile5_K, percentile95_K, mean_K, uncertainty_K } = superheat!;
  const slack_K = 2 * uncertainty_K;
  return (
    mean_K >= limits.lowest_K - slack_K &&
    mean_K <= limits.highest_K &&
    percentile95_K <= limits.highest_K + slack_K &&
    percentile95_K - percentile5_K <= limits.range_K + slack_K
  );
}

/** The discharge is colder than a lossless compressor makes it of dry vapour, in most of the windows that tell. */
function showsLiquid(windows: readonly WindowJudgement[], refrigerant: string): boolean {
  const efficiencies = windows.flatMap((window) => dischargeEvidence(window, refrigerant)?.efficiency ?? []);
  const over = efficiencies.filter((efficiency) => efficiency > 1).length;
  return efficiencies.length >= 3 && over > efficiencies.length / 2;
}

/** What is said of it, where superheat lies under the floodback limit. Weights are judgement, no source. */
export function registeredTypeDraft({ circuit }: FindingContext, found: LikeFlooded): Draft | null {
  const under = found.seen.reduce((sum, window) => sum + minutesUnderLimit(window), 0);
  if (under < 0.02 * found.minutes) return null;
  const calm = statement(
    'Superheat averages {mean} and stays calm in {share} of steady running, at every load: in dry tubes so low a superheat does not stay calm.',
    { mean: K(found.mean_K), share: fraction(found.fraction) },
  );
  const noControl = found.valveSeen
    ? statement('The valve does not move with superheat: it holds something else, such as a liquid level.')
    : statement('Neither a setpoint of superheat nor a valve that acts on it is sent.');
  return {
    condition: 'floodback-risk',
    headline: statement(
      'Superheat is under {limit} as in a flooded evaporator: check whether the registered type, dry expansion, is right.',
      { limit: K(circuit.floodbackLimit_K) },
    ),
    reasons: [
      calm,
      noControl,
      ...(found.approach_K === null
        ? []
        : [statement('The water leaves {approach} over saturation.', { approach: K(found.approach_K) })]),
      statement('Based on {time} of steady running.', { time: minutes(found.minutes) }),
    ],
    explanations: [
      {
        cause: 'a flooded or falling-film evaporator that is registered as dry expansion',
        weight: 0.7,
        supports: [calm, noControl],
        contradicts: [],
      },
      {
        cause: 'liquid that a valve lets through at every load',
        weight: 0.2,
        supports: [],
        contradicts: [calm],
      },
      {
        cause: 'a suction sensor that sits elsewhere or reads low',
        weight: 0.1,
        supports: [],
        contradicts: [],
      },
    ],
    separatingCheck: statement(
      "Read the evaporator's type in the unit's documents. If it is dry expansion, compare the discharge temperature with that of dry vapour, and superheat with a reference gauge and thermometer.",
    ),
    certainty: 'possible',
    urgency: 'watch',
    score: 25,
    waiting: statement(
      'If the type is right, liquid reaches the compressor: it washes out oil and can break it.',
    ),
    visit: [
      statement(
        'Usually no visit is needed to know the type: the nameplate or the documents of the unit tell it.',
      ),
    ],
    hazards: ['rotating-parts'],
    seen: found.seen,
  };
}
