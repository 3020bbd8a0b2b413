import type { Explanation } from '../../../diagnosis/finding.js';
import { quantity, statement } from '../../../diagnosis/statement.js';
import { K, minutes, fraction, type Draft, type FindingContext } from '../finding-parts.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Windows at loads this close are compared, %. */
const likeLoad_pct = 8;
/** Smallest rise that is reported, K, and the fraction of pairs that must show it. Judgement, no source. */
const least_K = 1.5;
const leastFraction = 0.8;
const leastMinutes = 600;

interface Comparison {
  /** Weighted mean rise of condensing temperature at like load, K. */
  rise_K: number;
  /** Fraction of the compared time with a rise of over half the least one. */
  fraction: number;
  minutes: number;
  seen: WindowJudgement[];
}

/** In the weeks before, what the circuits differed by was less by this, K: something has changed. Judgement, no source. */
const grown_K = 1;
/** Circuits that are built unlike, or whose condensers the water passes one after the other, may differ by this much, K. Judgement, no source. */
const byDesign_K = 4;

/** Superheat so high that little is condensed: such windows say nothing of the condenser. */
const fed = ({ superheat }: WindowJudgement): boolean =>
  superheat !== null && superheat.starvedFraction < 0.2;

/**
 * A condenser that gives off its heat worse: condensing temperature higher than that of the unit's other circuits in the
 * same hours at like load, which share weather and water. It needs a second circuit that runs; a fouling that all
 * circuits share stays unseen. Circuits may differ by design: a difference that was there before as well, or that is not
 * seen to have grown and is no larger than design makes it, is only watched. Condenser fouling raises condensing temperature and subcooling (MEMORY, Rossi & Braun
 * 1997, Breuker & Braun 1998).
 */
export function condenserFouling({ week, earlier, neighbours }: FindingContext): Draft | null {
  const found = neighbours
    .map((neighbour) => ({ now: compare(week, neighbour), before: compare(earlier, neighbour) }))
    .flatMap(({ now, before }) =>
      now !== null && now.minutes >= leastMinutes
        ? [{ ...now, before_K: before !== null && before.minutes >= leastMinutes ? before.rise_K : null }]
        : [],
    )
    .sort((a, b) => a.rise_K - b.rise_K)[0];
  if (!found || found.rise_K < least_K || found.fraction < leastFraction) return null;
  const { rise_K, before_K } = found;
  const grown = before_K !== null && rise_K - before_K >= grown_K;
  const byDesign = !grown && (before_K !== null || rise_K < byDesign_K);
  return {
    condition: 'condenser-fouling-suspected',
    headline: statement(
      "The condenser rejects heat less well than that of the unit's other circuit: condensing temperature is {rise} higher at a similar load.",
      { rise: K(found.rise_K) },
    ),
    reasons: [
      statement('In {share} of the time compared it is higher by at least {half}.', {
        share: fraction(found.fraction),
        half: K(least_K / 2),
      }),
      statement('Compared in the same hours at loads within {band} percentage points, {time} in all.', {
        band: quantity('count', likeLoad_pct),
        time: minutes(found.minutes),
      }),
      before_K === null
        ? statement('Whether it has always been so is not known: there are no earlier weeks to compare.')
        : statement('In the weeks before, it was higher by {before}.', { before: K(before_K) }),
    ],
    explanations: [
      ...(byDesign ? [differsByDesign] : []),
      {
        cause: 'a fouled condenser, or too little air or water through it',
        weight: byDesign ? 0.4 : 0.7,
        supports: [
          statement(
            'Weather and water are the same for both circuits, yet the condensing temperatures differ by {rise}.',
            {
              rise: K(found.rise_K),
            },
          ),
        ],
        contradicts: [],
      },
      {
        cause: 'air or other gas in the circuit, or too much refrigerant',
        weight: byDesign ? 0.15 : 0.2,
        supports: [],
        contradicts: [],
      },
      {
        cause: 'a discharge transducer that reads high',
        weight: byDesign ? 0.05 : 0.1,
        supports: [],
        contradicts: [],
      },
    ],
    separatingCheck: statement(
      'During the next long stop compare discharge pressure with the saturation pressure at ambient temperature: if it is higher, gas in the circuit or the transducer is the cause; if it agrees, the condenser is.',
    ),
    certainty: found.rise_K >= 2 * least_K ? 'likely' : 'possible',
    urgency: byDesign ? 'watch' : rise_K >= byDesign_K ? 'this-week' : 'next-visit',
    score: Math.min(50, 8 * found.rise_K),
    waiting: statement('Each kelvin of condensing temperature costs compressor energy as long as it lasts.'),
    visit: [
      statement(
        'Look at coil, fans, filters and water flow of the condenser; bring what is needed to clean it.',
      ),
    ],
    hazards: ['rotating-parts'],
    seen: found.seen,
  };
}

/** Weight is judgement, no source. */
const differsByDesign: Explanation = {
  cause: 'circuits that differ by design, or condensers that the water passes one after the other',
  weight: 0.4,
  supports: [],
  contradicts: [],
};

function compare(own: readonly WindowJudgement[], neighbour: readonly WindowJudgement[]): Comparison | null {
  const others = new Map(neighbour.map((window) => [window.from_s, window]));
  const seen: WindowJudgement[] = [];
  let sum = 0;
  let higher = 0;
  let time = 0;
  for (const window of own) {
    const other = others.get(window.from_s);
    if (!other || !fed(window) || !fed(other)) continue;
    const [a, b] = [window.conditions, other.conditions];
    if (a.condensingTemperature_K === null || b.condensingTemperature_K === null) continue;
    if (a.compressorLoad_pct === null || b.compressorLoad_pct === null) continue;
    if (Math.abs(a.compressorLoad_pct - b.compressorLoad_pct) > likeLoad_pct) continue;
    const weight = Math.min(window.superheat!.minutes, other.superheat!.minutes);
    const rise = a.condensingTemperature_K - b.condensingTemperature_K;
    sum += weight * rise;
    time += weight;
    if (rise > least_K / 2) higher += weight;
    seen.push(window);
  }
  return time > 0 ? { rise_K: sum / time, fraction: higher / time, minutes: time, seen } : null;
}
