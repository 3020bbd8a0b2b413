import type { Certainty, Urgency } from '../../diagnosis/finding.js';
import { statement } from '../../diagnosis/statement.js';
import type { SpanSummary } from '../circuit-assessment.js';
import { basis, K, opening, fraction, steadyMean, type Draft, type FindingContext } from './finding-parts.js';
import { lowSubcooling_K } from './liquid-supply.js';
import type { WindowJudgement } from '../windows/window-judgement.js';

/** Subcooling has fallen where it lies this far under that of the weeks before, K. */
const fallen_K = 1.5;

/**
 * Signs of missing refrigerant. Low subcooling comes first and by itself is only worth watching: capacity and COP depend
 * little on charge down to -20 % where a valve holds superheat (PUBLISHED, Choi & Kim 2002, abstract). With the valve far
 * open, and then with superheat high, the shortage is felt.
 */
export function undercharge({ week: windows, earlier }: FindingContext, week: SpanSummary): Draft | null {
  const known = windows.filter(
    (window) =>
      window.superheat !== null &&
      window.conditions.subcooling_K !== null &&
      window.conditions.valveOpening_pct !== null,
  );
  const subcooling = steadyMean(known, (window) => window.conditions.subcooling_K);
  if (!subcooling || subcooling.minutes < 60) return null;
  const fractionOf = (test: (window: WindowJudgement) => boolean): number =>
    steadyMean(known, (window) => (test(window) ? 1 : 0))!.mean;
  const low = (window: WindowJudgement) => window.conditions.subcooling_K! < lowSubcooling_K;
  const open = (window: WindowJudgement) => low(window) && window.conditions.valveOpening_pct! >= 80;
  const high = (window: WindowJudgement) =>
    open(window) &&
    (window.superheat!.offset_K === null ? window.superheat!.mean_K > 10 : window.superheat!.offset_K > 1.5);
  const lowFraction = fractionOf(low);
  const openFraction = fractionOf(open);
  const highFraction = fractionOf(high);
  if (lowFraction < 0.6 && openFraction < 0.25) return null;
  const seen = known.filter(low);
  const mean = steadyMean(seen, (window) => window.conditions.subcooling_K)!.mean;
  const before = steadyMean(earlier, (window) => window.conditions.subcooling_K);
  const fallen = before !== null && before.minutes >= 600 ? before.mean - subcooling.mean >= fallen_K : null;
  const felt = highFraction >= 0.25;
  const certainty: Certainty = highFraction >= 0.6 || (openFraction >= 0.25 && fallen) ? 'likely' : 'possible';
  const urgency: Urgency = felt ? 'this-week' : openFraction >= 0.25 ? 'next-visit' : 'watch';
  const opened = steadyMean(seen.filter(open), (window) => window.conditions.valveOpening_pct);
  const lowSentence = statement('Subcooling is under {limit} in {share} of steady running.', {
    limit: K(lowSubcooling_K),
    share: fraction(lowFraction),
  });
  const fallSentence =
    fallen === null
      ? []
      : [
          statement(
            fallen
              ? 'In the weeks before it was {before}; it has fallen to {now}.'
              : 'In the weeks before it was {before}, now it is {now}: no fall is seen.',
            { before: K(before!.mean), now: K(subcooling.mean) },
          ),
        ];
  return {
    condition: 'undercharge-suspected',
    headline: felt
      ? statement(
          'Signs of missing refrigerant: the valve is at {opening}, subcooling is only {subcooling}, and superheat is high.',
          { opening: opening(opened!.mean), subcooling: K(mean) },
        )
      : opened && openFraction >= 0.25
        ? statement(
            'Signs of missing refrigerant: subcooling is only {subcooling}, and the valve has to stand at {opening}.',
            { opening: opening(opened.mean), subcooling: K(mean) },
          )
        : statement(
            'Subcooling is only {subcooling}: some refrigerant may be missing, though superheat is still held.',
            { subcooling: K(mean) },
          ),
    reasons: [
      ...(felt
        ? [
            statement('All three signs come together in {share} of steady running.', {
              share: fraction(highFraction),
            }),
          ]
        : []),
      lowSentence,
      ...fallSentence,
      basis(week),
    ],
    explanations: [
      {
        cause: 'missing refrigerant',
        weight: felt ? 0.85 : openFraction >= 0.25 || fallen ? 0.7 : 0.5,
        speaksFor: [lowSentence, ...(fallen ? fallSentence : [])],
        speaksAgainst: fallen === false ? fallSentence : [],
      },
      {
        cause:
          'a liquid sensor or discharge transducer that reads wrong, or a receiver that takes up the subcooling',
        weight: felt ? 0.15 : openFraction >= 0.25 || fallen ? 0.3 : 0.5,
        speaksFor: fallen === false ? fallSentence : [],
        speaksAgainst: [...(fallen ? fallSentence : [])],
      },
    ],
    separatingCheck: statement(
      'At the next long standstill, see whether the liquid temperature and the discharge pressure agree with the others; if they do, look for bubbles in the sight glass at high load.',
    ),
    certainty,
    urgency,
    score: felt ? 30 + 30 * highFraction : openFraction >= 0.25 ? 25 : 10,
    waiting: felt
      ? statement('Waiting loses capacity, and refrigerant if there is a leak.')
      : statement('Waiting costs little yet; if there is a leak, it goes on.'),
    visit: [
      statement(
        'Take a leak detector and scales; search for the leak before adding refrigerant, and log what is added.',
      ),
    ],
    seen: seen.length > 0 ? seen : known,
  };
}
