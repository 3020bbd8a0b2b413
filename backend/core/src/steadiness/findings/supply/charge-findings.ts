import type { Certainty, Explanation, Hazard, Urgency } from '../../../diagnosis/finding.js';
import { statement, type Statement } from '../../../diagnosis/statement.js';
import type { SpanSummary } from '../../circuit-assessment.js';
import {
  basis,
  K,
  opening,
  fraction,
  steadyMean,
  type Draft,
  type FindingContext,
} from '../finding-parts.js';
import { lowSubcooling_K } from './liquid-supply.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Subcooling has fallen where it lies this far under that of the weeks before, K. */
const fallen_K = 1.5;

/** What the windows of a week say of charge. */
interface ChargeSigns {
  known: readonly WindowJudgement[];
  /** Windows with low subcooling. */
  low: readonly WindowJudgement[];
  /** Fractions of the steady time with low subcooling; with the valve far open, too; and with superheat high, too. */
  lowFraction: number;
  openFraction: number;
  highFraction: number;
  subcooling_K: number;
  /** Mean opening with low subcooling and the valve far open, %; null where never so. */
  opened_pct: number | null;
  /** Subcooling in the weeks before, K, and whether it has fallen since; null without ten hours of them. */
  before: { subcooling_K: number; fallen: boolean } | null;
}

function chargeSigns({ week, earlier }: FindingContext): ChargeSigns | null {
  const known = week.filter(
    (window) =>
      window.superheat !== null &&
      window.conditions.subcooling_K !== null &&
      window.conditions.valveOpening_pct !== null,
  );
  const subcooling = steadyMean(known, (window) => window.conditions.subcooling_K);
  if (!subcooling || subcooling.minutes < 60) return null;
  const fractionOf = (test: (window: WindowJudgement) => boolean): number =>
    steadyMean(known, (window) => (test(window) ? 1 : 0))!.mean;
  const isLow = (window: WindowJudgement) => window.conditions.subcooling_K! < lowSubcooling_K;
  const isOpen = (window: WindowJudgement) => isLow(window) && window.conditions.valveOpening_pct! >= 80;
  const isHigh = (window: WindowJudgement) =>
    isOpen(window) &&
    (window.superheat!.offset_K === null ? window.superheat!.mean_K > 10 : window.superheat!.offset_K > 1.5);
  const before = steadyMean(earlier, (window) => window.conditions.subcooling_K);
  const low = known.filter(isLow);
  return {
    known,
    low,
    lowFraction: fractionOf(isLow),
    openFraction: fractionOf(isOpen),
    highFraction: fractionOf(isHigh),
    subcooling_K: subcooling.mean,
    opened_pct: steadyMean(low.filter(isOpen), (window) => window.conditions.valveOpening_pct)?.mean ?? null,
    before:
      before !== null && before.minutes >= 600
        ? { subcooling_K: before.mean, fallen: before.mean - subcooling.mean >= fallen_K }
        : null,
  };
}

/** What waiting costs while superheat is held. */
function whileHeld(hazards: readonly Hazard[]): string {
  const nature = (['flammable', 'toxic'] as const).filter((each) => hazards.includes(each)).join(' and ');
  return nature === ''
    ? 'Waiting costs little for now; if there is a leak, it continues.'
    : `If there is a leak, it continues, and this refrigerant is ${nature}.`;
}

/**
 * Signs of missing refrigerant. Low subcooling comes first and by itself is only worth watching: capacity and COP depend
 * little on charge down to -20 % where a valve holds superheat (PUBLISHED, Choi & Kim 2002, abstract). With the valve far
 * open, and then with superheat high, the shortage is felt.
 */
export function undercharge(context: FindingContext, week: SpanSummary): Draft | null {
  const signs = chargeSigns(context);
  if (!signs || (signs.lowFraction < 0.6 && signs.openFraction < 0.25)) return null;
  const { known, low, openFraction, highFraction, before } = signs;
  const felt = highFraction >= 0.25;
  const open = openFraction >= 0.25;
  const lowSentence = statement('Subcooling is under {limit} in {share} of steady running.', {
    limit: K(lowSubcooling_K),
    share: fraction(signs.lowFraction),
  });
  const history = before ? [historySentence(before, signs.subcooling_K)] : [];
  const certainty: Certainty = highFraction >= 0.6 || (open && before?.fallen) ? 'likely' : 'possible';
  // A receiver takes the subcooling by design: while superheat is held, only a fall of it is more than worth watching.
  const urgency: Urgency = felt ? 'this-week' : open && before?.fallen ? 'next-visit' : 'watch';
  return {
    condition: 'undercharge-suspected',
    headline: chargeHeadline(signs, felt, open),
    reasons: [
      ...(felt
        ? [
            statement('All three signs occur together in {share} of steady running.', {
              share: fraction(highFraction),
            }),
          ]
        : []),
      lowSentence,
      ...history,
      basis(week),
    ],
    explanations: chargeExplanations(felt, open, before, lowSentence, history),
    separatingCheck: statement(
      'During the next long stop, check whether the liquid temperature and the discharge pressure agree with the other sensors; if they do, look for bubbles in the sight glass at high load.',
    ),
    certainty,
    urgency,
    score: felt ? 30 + 30 * highFraction : open ? 25 : 10,
    waiting: felt
      ? statement('Waiting loses capacity, and refrigerant if there is a leak.')
      : statement(whileHeld(context.refrigerantHazards)),
    visit: [
      statement(
        'Take a leak detector and scales; search for the leak before adding refrigerant, and log what is added.',
      ),
    ],
    seen: low.length > 0 ? low : known,
  };
}

function chargeHeadline({ known, low, opened_pct }: ChargeSigns, felt: boolean, open: boolean): Statement {
  const subcooling = K(
    steadyMean(low.length > 0 ? low : known, (window) => window.conditions.subcooling_K)!.mean,
  );
  if (felt)
    return statement(
      'Signs of missing refrigerant: the valve is at {opening}, subcooling is only {subcooling}, and superheat is high.',
      { opening: opening(opened_pct!), subcooling },
    );
  if (open && opened_pct !== null)
    return statement(
      'Signs of missing refrigerant: subcooling is only {subcooling}, and the valve is open to {opening}.',
      { opening: opening(opened_pct), subcooling },
    );
  return statement(
    'Subcooling is only {subcooling}: some refrigerant may be missing, though superheat is still held.',
    { subcooling },
  );
}

const historySentence = (before: NonNullable<ChargeSigns['before']>, now_K: number): Statement =>
  statement(
    before.fallen
      ? 'In the weeks before it was {before}; it has fallen to {now}.'
      : 'In the weeks before it was {before}, now it is {now}: no fall is seen.',
    { before: K(before.subcooling_K), now: K(now_K) },
  );

/** Weights are judgement, no source. */
function chargeExplanations(
  felt: boolean,
  open: boolean,
  before: ChargeSigns['before'],
  lowSentence: Statement,
  history: Statement[],
): Explanation[] {
  const weight = felt ? 0.85 : open || before?.fallen ? 0.7 : 0.5;
  const [fallen, level] = before?.fallen ? [history, []] : [[], history];
  return [
    {
      cause: 'missing refrigerant',
      weight,
      supports: [lowSentence, ...fallen],
      contradicts: level,
    },
    {
      cause:
        'a liquid sensor or discharge transducer that reads wrong, or a receiver that removes the subcooling',
      weight: 1 - weight,
      supports: level,
      contradicts: fallen,
    },
  ];
}
