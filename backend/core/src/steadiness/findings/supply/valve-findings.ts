import type { Urgency } from '../../../diagnosis/finding.js';
import { quantity, statement, type Statement } from '../../../diagnosis/statement.js';
import type { HuntingCause, SpanSummary, ValveWear } from '../../circuit-assessment.js';
import {
  basis,
  K,
  rounded,
  minutes,
  opening,
  fraction,
  steadyMean,
  type Draft,
  type FindingContext,
} from '../finding-parts.js';
import { supplyExplanations } from './liquid-supply.js';
import { hunts } from '../../windows/summaries.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Findings on how the valve moves and where it stands. */
export function hunting(
  { week: windows, hunting: found, wear }: FindingContext,
  week: SpanSummary,
): Draft | null {
  if (!found) return null;
  const seen = windows.filter(hunts);
  const huntingFraction = week.huntingFraction ?? 0;
  if (seen.length === 0 || huntingFraction < 0.1) return null;
  const under = week.underLimitFraction ?? 0;
  const strong = found.amplitude_K >= 2 || under >= 0.05;
  const urgency: Urgency =
    huntingFraction >= 0.4 && strong
      ? 'this-week'
      : found.amplitude_K >= 1 || huntingFraction >= 0.4
        ? 'next-visit'
        : 'watch';
  const likeliest = found.causes[0];
  return {
    condition: 'hunting',
    headline: statement('Superheat hunts: it swings by {amplitude} to either side every {period}.', {
      amplitude: K(found.amplitude_K),
      period: quantity('duration', rounded(found.period_s)),
    }),
    reasons: [
      statement('It hunts in {share} of the {judged} that could be judged for it in the last week.', {
        share: fraction(huntingFraction),
        judged: minutes(windows.reduce((sum, window) => sum + window.oscillation.judgedMinutes, 0)),
      }),
      ...(likeliest && likeliest.weight >= 0.5
        ? [
            statement(`Most likely cause: ${likeliest.cause}, {weight} likely.`, {
              weight: fraction(likeliest.weight),
            }),
          ]
        : []),
      ...(wear
        ? [
            statement('The valve makes about {reversals} reversals and {travel} full strokes a day.', {
              reversals: quantity('rate-per-day', rounded(wear.reversals_per_day)),
              travel: quantity('rate-per-day', rounded(wear.travel_strokes_per_day, 2)),
            }),
          ]
        : []),
      basis(week),
    ],
    explanations: found.causes.map(({ cause, weight, supports, contradicts }) => ({
      cause,
      weight,
      supports,
      contradicts,
    })),
    separatingCheck: found.separatingCheck,
    certainty: found.windows >= 3 ? 'certain' : 'likely',
    urgency,
    score: 10 + 50 * huntingFraction * Math.min(1, found.amplitude_K / 4) + 30 * Math.min(1, under * 5),
    waiting: wear
      ? statement('Each week of waiting adds about {reversals} valve reversals.', {
          reversals: quantity('count', rounded(wear.reversals_per_day * 7)),
        })
      : statement('Waiting wears the valve and wastes energy.'),
    visit: [
      statement(
        likeliest && likeliest.weight >= 0.5
          ? whatToBring[likeliest.key]
          : 'Bring the loop settings and a spare valve motor; do the separating check before going.',
      ),
    ],
    seen,
  };
}

/** What a visit for the hunting needs, by its cause (common practice, no source). */
const whatToBring: Record<HuntingCause, string> = {
  'loop-too-tight':
    "Bring the maker's settings for the superheat loop; an authorised person may lower the gain without a visit.",
  'valve-friction':
    'Bring a spare valve motor with its cable, and the means to change the valve if it is stiff.',
  'valve-too-large':
    'Bring the nameplate data of valve and unit: a smaller valve may be needed. A slower loop helps until then.',
  'load-or-water-swings':
    'Check the pumps, mixing valves and stages of the plant: the cause is outside the chiller.',
  'under-steady-floor': 'Ask for the agreed setpoint; an authorised person may raise it without a visit.',
  'circuits-disturb-each-other':
    'Check both circuits on one visit; a slower loop on one of them separates their periods.',
  'measurement-noise': "Check the suction sensors' plugs, cables and shields; bring a spare of each.",
};

/** A chiller's valve opens further than this: what stays under it is sent as a fraction of one, or not connected, %. Judgement, no source. */
const leastOpening_pct = 1.5;
/** A value that never moves by more than this is no opening that a controller drives, %. */
const stands_pct = 0.5;

/** Whether what is sent as the opening cannot be one, in percent, that the controller drives: it stands for a day and superheat is held all the same. */
function isNoPercentage(windows: readonly WindowJudgement[]): boolean {
  const ran = windows.flatMap(({ valve }) => (valve && valve.runningMinutes > 0 ? [valve] : []));
  const highest = Math.max(...ran.map(({ maximum_pct }) => maximum_pct));
  const lowest = Math.min(...ran.map(({ minimum_pct }) => minimum_pct));
  const starving = steadyMean(windows, (window) => window.superheat!.starvedFraction)?.mean ?? 1;
  const stands = highest - lowest < stands_pct && ran.length > fewestStanding && starving < held;
  return highest <= leastOpening_pct || stands;
}
/** Superheat that starves for less than this fraction of the time is held. */
const held = 0.2;

/** In so many windows of two hours a controlled valve moves. Judgement, no source. */
const fewestStanding = 12;

export function valveAtLimit(context: FindingContext): Draft | null {
  const { week: windows } = context;
  let time = 0;
  let open = 0;
  let shut = 0;
  for (const { valve } of windows) {
    if (!valve) continue;
    time += valve.runningMinutes;
    open += valve.runningMinutes * valve.nearOpenFraction;
    shut += valve.minimum_pct <= 1 ? valve.runningMinutes * valve.nearShutFraction : 0;
  }
  if (time < 60 || isNoPercentage(windows)) return null;
  const atOpen = open / time;
  const atShut = shut / time;
  if (atOpen < 0.2 && atShut < 0.5) return null;
  const isOpen = atOpen >= 0.2;
  const seen = windows.filter(
    (window) => ((isOpen ? window.valve?.nearOpenFraction : window.valve?.nearShutFraction) ?? 0) > 0.1,
  );
  return {
    condition: 'valve-at-limit',
    headline: isOpen
      ? statement(
          'The valve is at {limit} or more for {share} of running time: it cannot open any further.',
          {
            limit: opening(95),
            share: fraction(atOpen),
          },
        )
      : statement(
          'The valve is at {limit} or less for {share} of running time: it works close to its seat.',
          {
            limit: opening(10),
            share: fraction(atShut),
          },
        ),
    reasons: [statement('Based on {time} of running.', { time: minutes(time) })],
    ...(isOpen ? supplyExplanations(context) : {}),
    certainty: 'certain',
    urgency: (isOpen ? atOpen : atShut) >= 0.5 ? 'next-visit' : 'watch',
    score: 10 + 30 * Math.max(atOpen, atShut),
    waiting: isOpen
      ? statement('While the valve is fully open, superheat cannot be held down and capacity is lost.')
      : statement('Close to its seat the valve cannot meter finely and tends to hunt.'),
    visit: [statement("Check charge and liquid-line pressure drop, then the valve's size against the duty.")],
    seen: seen.length > 0 ? seen : windows,
  };
}

/** A valve that wears out sooner than this at its pace is named; the life of a chiller is longer. Common practice, no source. */
const shortLife_years = 8;
/** A rated life that the maker does not give may well be twice what is taken for it: judgement, no source. */
const assumedLifeDoubt = 2;
/** Years left from which on it is more than worth watching. */
const soon_years = 1;

/** Wear against the rated life; the fleet is only mentioned beside it. */
export function valveWear({ week: windows, wear }: FindingContext): Draft | null {
  if (!wear || wear.observedDays < 2 || wear.life_years === null) return null;
  const { life_years, left_years } = wear;
  const short = (wear.ratedByMaker ? 1 : assumedLifeDoubt) * life_years < shortLife_years;
  const nearlyPast = wear.ratedByMaker && left_years !== null && left_years < soon_years;
  if (!short && !nearlyPast) return null;
  const soon = life_years < soon_years || (left_years !== null && left_years < soon_years);
  const pace = {
    reversals: quantity('rate-per-day', rounded(wear.reversals_per_day)),
    travel: quantity('rate-per-day', rounded(wear.travel_strokes_per_day)),
  };
  const atLeast = wear.lowerBound ? 'at least' : 'about';
  return {
    condition: 'valve-wear',
    headline:
      left_years === null
        ? statement('At its present pace the valve reaches its rated life after {life}.', {
            life: years(life_years),
          })
        : left_years > 0
          ? statement('At its present pace the valve has about {left} of its rated life left.', {
              left: years(left_years),
            })
          : statement('At its present pace the valve is past its rated life.'),
    reasons: [
      statement(`It makes ${atLeast} {reversals} reversals and {travel} full strokes a day.`, pace),
      ratedLifeSentence(wear),
      ...(left_years === null
        ? []
        : [statement('This assumes that it has moved so since it went into service.')]),
      ...fleetSentence(wear),
      statement('Based on {days} of valve openings.', {
        days: quantity('duration', wear.observedDays * 86_400),
      }),
    ],
    certainty: wear.ratedByMaker ? 'likely' : 'possible',
    urgency: soon ? 'next-visit' : 'watch',
    score: soon ? 25 : 10 + 10 * Math.max(0, 1 - life_years / shortLife_years),
    waiting: statement(
      'Each week adds about {strokes} full strokes and {reversals} reversals to the valve.',
      {
        strokes: quantity('count', rounded(wear.travel_strokes_per_day * 7)),
        reversals: quantity('count', rounded(wear.reversals_per_day * 7)),
      },
    ),
    ...(soon
      ? { visit: [statement('Bring a valve motor or valve; find out first why the valve moves so much.')] }
      : {}),
    seen: windows,
  };
}

const years = (value: number) => quantity('duration', rounded(value, 2) * 365.25 * 86_400);

function ratedLifeSentence({ ratedStrokes, ratedReversals, ratedByMaker }: ValveWear): Statement {
  const quantities = {
    ...(ratedStrokes === null ? {} : { strokes: quantity('count', ratedStrokes) }),
    ...(ratedReversals === null ? {} : { reversals: quantity('count', ratedReversals) }),
  };
  const life = [
    ...(ratedStrokes === null ? [] : ['{strokes} full strokes']),
    ...(ratedReversals === null ? [] : ['{reversals} reversals']),
  ].join(' and ');
  return statement(
    ratedByMaker
      ? `Rated life by the registry: ${life}.`
      : `Rated life taken as ${life}, which is common practice: the registry can give the maker's figures.`,
    quantities,
  );
}

function fleetSentence(wear: ValveWear): Statement[] {
  const [travel, reversals] = [wear.fleetTravelPercentile ?? 0, wear.fleetReversalPercentile ?? 0];
  return Math.max(travel, reversals) < 0.9
    ? []
    : [
        statement(
          'It travels further than {travel} of the valves in the fleet and reverses more often than {reversals}.',
          { travel: fraction(travel), reversals: fraction(reversals) },
        ),
      ];
}
