import type { Certainty, Finding, Hazard, Urgency } from '../diagnosis/finding.js';
import { quantity, statement, type Statement } from '../diagnosis/statement.js';
import type { CircuitEntry } from '../telemetry/registry.js';
import type { Headroom, HuntingAssessment, SpanSummary, ValveWear } from './circuit-assessment.js';
import { hunts, summarise } from './summaries.js';
import type { WindowJudgement } from './window-judgement.js';

const K = (value: number, uncertainty?: number) => quantity('temperature-difference', value, uncertainty);
const share = (value: number) => quantity('share', value);
const minutes = (value: number) => quantity('duration', value * 60);
const opening = (value: number) => quantity('percent-opening', value);

export interface FindingContext {
  circuit: CircuitEntry;
  refrigerantHazards: Hazard[];
  /** Windows of the last seven days that have telemetry. */
  week: readonly WindowJudgement[];
  /** Of the last day. */
  day: readonly WindowJudgement[];
  hunting: HuntingAssessment | null;
  headroom: Headroom | null;
  wear: ValveWear | null;
}

interface Draft {
  condition: string;
  headline: Statement;
  reasons: Statement[];
  certainty: Certainty;
  urgency: Urgency;
  score: number;
  waiting: Statement;
  visit?: Statement[];
  hazards?: Hazard[];
  seen: readonly WindowJudgement[];
}

/** All findings on one circuit that follow from its judged windows. Under an hour of steady running in a week nothing is said. */
export function circuitFindings(context: FindingContext): Finding[] {
  const week = summarise(context.week);
  if (!week || week.steadyMinutes < 60) return [];
  const drafts = [
    floodbackRisk(context, week),
    hunting(context, week),
    starved(context, week),
    offSetpoint(context, week),
    valveAtLimit(context),
    valveWear(context),
    undercharge(context, week),
    headroom(context),
  ];
  const findings = drafts
    .filter((draft): draft is Draft => draft !== null)
    .map((draft) => finish(context, draft));
  const hunted = findings.find((finding) => finding.condition === 'hunting');
  if (hunted && context.hunting) {
    hunted.explanations = context.hunting.causes.map(({ cause, weight, speaksFor, speaksAgainst }) => ({
      cause,
      weight,
      speaksFor,
      speaksAgainst,
    }));
    hunted.separatingCheck = context.hunting.separatingCheck;
  }
  return findings;
}

function finish({ circuit, refrigerantHazards }: FindingContext, draft: Draft): Finding {
  const hands = draft.visit !== undefined && draft.visit.length > 0;
  return {
    condition: draft.condition,
    subject: { kind: 'circuit', circuit: circuit.number },
    headline: draft.headline,
    reasons: draft.reasons,
    explanations: [],
    separatingCheck: null,
    certainty: draft.certainty,
    urgency: draft.urgency,
    waiting: { score: Math.round(Math.min(100, Math.max(0, draft.score))), sentence: draft.waiting },
    visit: draft.visit ?? [],
    hazards: hands
      ? [...new Set<Hazard>(['pressure', 'live-parts', ...refrigerantHazards, ...(draft.hazards ?? [])])]
      : [],
    firstSeen_s: draft.seen[0].from_s,
    lastSeen_s: draft.seen[draft.seen.length - 1].to_s,
  };
}

const basis = (span: SpanSummary): Statement =>
  statement('Stands on {steady} of steady running in {windows} windows.', {
    steady: minutes(span.steadyMinutes),
    windows: quantity('count', span.windows),
  });

function floodbackRisk({ week: windows, day, circuit }: FindingContext, week: SpanSummary): Draft | null {
  const under = week.underLimitShare ?? 0;
  const surely = week.surelyUnderLimitShare ?? 0;
  if (under < 0.02 && surely < 0.005) return null;
  const today = summarise(day);
  const todayMinutes = today ? (today.underLimitShare ?? 0) * today.steadyMinutes : 0;
  const seen = windows.filter((window) => (window.superheat?.underLimitShare ?? 0) > 0.01);
  const urgency: Urgency =
    (surely >= 0.05 || under >= 0.3) && todayMinutes >= 10
      ? 'today'
      : surely >= 0.01 || under >= 0.1
        ? 'this-week'
        : 'next-visit';
  const uncertainty = Math.max(...windows.map((window) => window.superheat?.uncertainty_K ?? 0));
  return {
    condition: 'floodback-risk',
    headline: statement(
      'Superheat is under {limit} for {share} of steady running: liquid may reach the compressor.',
      {
        limit: K(circuit.floodbackLimit_K),
        share: share(under),
      },
    ),
    reasons: [
      statement(
        '{share} of the time it is under the limit even if the sensors read low by two standard uncertainties ({uncertainty} each).',
        {
          share: share(surely),
          uncertainty: K(uncertainty),
        },
      ),
      ...(week.lowest_K === null
        ? []
        : [
            statement('In the worst window one value in a hundred lies under {lowest}.', {
              lowest: K(week.lowest_K),
            }),
          ]),
      ...(todayMinutes > 0
        ? [statement('In the last day it was under the limit for {time}.', { time: minutes(todayMinutes) })]
        : []),
      basis(week),
    ],
    certainty: surely >= 0.01 ? 'certain' : under >= 0.1 ? 'likely' : 'possible',
    urgency,
    score: 25 + 75 * Math.min(1, 4 * surely + under),
    waiting: statement(
      'Each week of waiting is about {time} with superheat under the limit; liquid washes out oil and can break the compressor.',
      {
        time: minutes((under * week.steadyMinutes * 7) / spanDays(windows)),
      },
    ),
    visit: [
      statement(
        "Check the suction sensor's seat and insulation, then the valve's closing and the setpoint; take a reference gauge and thermometer.",
      ),
    ],
    hazards: ['rotating-parts'],
    seen: seen.length > 0 ? seen : windows,
  };
}

function hunting({ week: windows, hunting: found, wear }: FindingContext, week: SpanSummary): Draft | null {
  if (!found) return null;
  const seen = windows.filter(hunts);
  const huntingShare = week.huntingShare ?? 0;
  if (seen.length === 0 || huntingShare < 0.1) return null;
  const under = week.underLimitShare ?? 0;
  const strong = found.amplitude_K >= 2 || under >= 0.05;
  const urgency: Urgency =
    huntingShare >= 0.4 && strong
      ? 'this-week'
      : found.amplitude_K >= 1 || huntingShare >= 0.4
        ? 'next-visit'
        : 'watch';
  const likeliest = found.causes[0];
  return {
    condition: 'hunting',
    headline: statement('Superheat hunts: it swings by {amplitude} to either side every {period}.', {
      amplitude: K(found.amplitude_K),
      period: quantity('duration', found.period_s),
    }),
    reasons: [
      statement('It hunts in {share} of the {judged} judged in the last week.', {
        share: share(huntingShare),
        judged: minutes(windows.reduce((sum, window) => sum + window.oscillation.judgedMinutes, 0)),
      }),
      ...(likeliest && likeliest.weight >= 0.5
        ? [
            statement(`Most likely cause: ${likeliest.cause} ({weight} of belief).`, {
              weight: share(likeliest.weight),
            }),
          ]
        : []),
      ...(wear
        ? [
            statement('The valve makes {reversals} reversals and {travel} full strokes a day.', {
              reversals: quantity('rate-per-day', wear.reversals_per_day),
              travel: quantity('rate-per-day', wear.travel_strokes_per_day),
            }),
          ]
        : []),
      basis(week),
    ],
    certainty: found.windows >= 3 ? 'certain' : 'likely',
    urgency,
    score: 10 + 50 * huntingShare * Math.min(1, found.amplitude_K / 4) + 30 * Math.min(1, under * 5),
    waiting: wear
      ? statement('Each week of waiting adds about {reversals} valve reversals.', {
          reversals: quantity('count', Math.round(wear.reversals_per_day * 7)),
        })
      : statement('Waiting wears the valve and wastes energy.'),
    visit: [
      statement('Bring the loop settings and a spare valve motor; do the separating check before going.'),
    ],
    seen,
  };
}

function starved({ week: windows }: FindingContext, week: SpanSummary): Draft | null {
  const value = week.starvedShare ?? 0;
  if (value < 0.2) return null;
  const seen = windows.filter((window) => (window.superheat?.starvedShare ?? 0) > 0.1);
  const limit = windows.find((window) => window.superheat)?.superheat?.starvedLimit_K ?? 0;
  return {
    condition: 'starved',
    headline: statement(
      'The evaporator is starved: superheat is over {limit} for {share} of steady running.',
      {
        limit: K(limit),
        share: share(value),
      },
    ),
    reasons: [
      ...(week.mean_K === null ? [] : [statement('Superheat averages {mean}.', { mean: K(week.mean_K) })]),
      basis(week),
    ],
    certainty: value >= 0.5 ? 'certain' : 'likely',
    urgency: value >= 0.6 ? 'this-week' : 'next-visit',
    score: 15 + 35 * value,
    waiting: statement(
      'Waiting costs capacity and energy for as long as {share} of the running time is starved.',
      { share: share(value) },
    ),
    visit: [
      statement("Check charge, liquid-line filter and the valve's travel; take a reference thermometer."),
    ],
    seen: seen.length > 0 ? seen : windows,
  };
}

function offSetpoint({ week: windows }: FindingContext, week: SpanSummary): Draft | null {
  const offset = week.offset_K;
  if (offset === null || Math.abs(offset) < 1.5 || (week.starvedShare ?? 0) >= 0.2) return null;
  const same = windows.filter((window) => Math.sign(window.superheat?.offset_K ?? 0) === Math.sign(offset));
  const minutesSame = same.reduce((sum, window) => sum + window.superheat!.minutes, 0);
  if (minutesSame < 0.7 * week.steadyMinutes) return null;
  return {
    condition: 'superheat-off-setpoint',
    headline: statement(
      offset > 0
        ? "Superheat stays {offset} over the controller's setpoint."
        : "Superheat stays {offset} under the controller's setpoint.",
      { offset: K(Math.abs(offset)) },
    ),
    reasons: [
      statement('In {share} of steady running it lies to the same side of the setpoint.', {
        share: share(minutesSame / week.steadyMinutes),
      }),
      basis(week),
    ],
    certainty: 'likely',
    urgency: Math.abs(offset) >= 3 ? 'next-visit' : 'watch',
    score: Math.min(40, 6 * Math.abs(offset)),
    waiting: statement(
      'Waiting costs a little energy or safety: the evaporator does not work where it was set to work.',
    ),
    visit: [
      statement(
        "Compare the controller's own pressure and temperature with a reference; look whether the valve reaches its limits.",
      ),
    ],
    seen: same,
  };
}

function valveAtLimit({ week: windows }: FindingContext): Draft | null {
  let time = 0;
  let open = 0;
  let shut = 0;
  for (const { valve } of windows) {
    if (!valve) continue;
    time += valve.runningMinutes;
    open += valve.runningMinutes * valve.nearOpenShare;
    shut += valve.minimum_pct <= 1 ? valve.runningMinutes * valve.nearShutShare : 0;
  }
  if (time < 60) return null;
  const atOpen = open / time;
  const atShut = shut / time;
  if (atOpen < 0.2 && atShut < 0.5) return null;
  const isOpen = atOpen >= 0.2;
  const seen = windows.filter(
    (window) => (isOpen ? window.valve?.nearOpenShare : window.valve?.nearShutShare) ?? 0 > 0.1,
  );
  return {
    condition: 'valve-at-limit',
    headline: isOpen
      ? statement(
          'The valve is at {limit} or more for {share} of running time: it has nothing left to give.',
          {
            limit: opening(95),
            share: share(atOpen),
          },
        )
      : statement('The valve is at {limit} or less for {share} of running time: it works next to its seat.', {
          limit: opening(10),
          share: share(atShut),
        }),
    reasons: [statement('Stands on {time} of running.', { time: minutes(time) })],
    certainty: 'certain',
    urgency: (isOpen ? atOpen : atShut) >= 0.5 ? 'next-visit' : 'watch',
    score: 10 + 30 * Math.max(atOpen, atShut),
    waiting: isOpen
      ? statement('While the valve is fully open, superheat cannot be held down and capacity is lost.')
      : statement('Next to its seat the valve cannot meter finely, and hunting comes easily.'),
    visit: [statement("Check charge and liquid-line pressure drop, then the valve's size against the duty.")],
    seen: seen.length > 0 ? seen : windows,
  };
}

function valveWear({ week: windows, wear }: FindingContext): Draft | null {
  if (!wear || wear.observedDays < 2) return null;
  const rank = Math.max(wear.fleetTravelPercentile ?? 0, wear.fleetReversalPercentile ?? 0);
  if (rank < 0.95 || wear.reversals_per_day < 500) return null;
  return {
    condition: 'valve-wear',
    headline: statement(
      'The valve moves more than {share} of the fleet: {reversals} reversals and {travel} full strokes a day.',
      {
        share: share(rank),
        reversals: quantity('rate-per-day', wear.reversals_per_day),
        travel: quantity('rate-per-day', wear.travel_strokes_per_day),
      },
    ),
    reasons: [
      statement('Stands on {days} of openings.', { days: quantity('duration', wear.observedDays * 86_400) }),
    ],
    certainty: 'certain',
    urgency: 'watch',
    score: 10 + 20 * Math.min(1, wear.reversals_per_day / 10_000),
    waiting: statement('Each week adds about {strokes} full strokes to the valve.', {
      strokes: quantity('count', Math.round(wear.travel_strokes_per_day * 7)),
    }),
    seen: windows,
  };
}

function undercharge({ week: windows }: FindingContext, week: SpanSummary): Draft | null {
  let time = 0;
  let signs = 0;
  let openings = 0;
  let subcoolings = 0;
  const seen: WindowJudgement[] = [];
  for (const window of windows) {
    const { valveOpening_pct, subcooling_K } = window.conditions;
    const held = window.superheat;
    if (!held || valveOpening_pct === null || subcooling_K === null) continue;
    time += held.minutes;
    const high = held.offset_K === null ? held.mean_K > 10 : held.offset_K > 1.5;
    if (valveOpening_pct < 80 || subcooling_K > 2 || !high) continue;
    signs += held.minutes;
    openings += held.minutes * valveOpening_pct;
    subcoolings += held.minutes * subcooling_K;
    seen.push(window);
  }
  if (time < 60 || signs < 0.25 * time) return null;
  return {
    condition: 'undercharge-suspected',
    headline: statement(
      'Signs of missing refrigerant: the valve is at {opening}, subcooling is only {subcooling}, and superheat is high.',
      {
        opening: opening(openings / signs),
        subcooling: K(subcoolings / signs),
      },
    ),
    reasons: [
      statement('All three signs together in {share} of steady running.', { share: share(signs / time) }),
      basis(week),
    ],
    certainty: signs >= 0.6 * time ? 'likely' : 'possible',
    urgency: 'this-week',
    score: 30 + 30 * (signs / time),
    waiting: statement('Waiting loses capacity, and refrigerant if there is a leak.'),
    visit: [
      statement(
        'Take a leak detector and scales; search for the leak before adding refrigerant, and log what is added.',
      ),
    ],
    seen,
  };
}

function headroom({ headroom: found, week: windows }: FindingContext): Draft | null {
  if (!found || found.headroom_K < Math.max(1, 2 * found.uncertainty_K)) return null;
  return {
    condition: 'headroom',
    headline: statement(
      'Superheat could be about {headroom} lower: it is held at {held} and has been steady down to {floor}.',
      {
        headroom: K(found.headroom_K, found.uncertainty_K),
        held: K(found.held_K),
        floor: K(found.floor_K),
      },
    ),
    reasons: [
      statement('A safety margin of {margin} is already taken off.', { margin: K(found.safetyMargin_K) }),
      statement("Giving it back may save {energy} of the compressor's energy.", {
        energy: share(found.energyShare),
      }),
      found.assumption,
      statement('Covers {share} of the steady windows.', { share: share(found.coveredShare) }),
    ],
    certainty: found.headroom_K > 3 * found.uncertainty_K ? 'likely' : 'possible',
    urgency: 'watch',
    score: Math.min(30, 500 * found.energyShare),
    waiting: statement("Waiting costs about {energy} of the compressor's energy.", {
      energy: share(found.energyShare),
    }),
    seen: windows,
  };
}

const spanDays = (windows: readonly WindowJudgement[]): number =>
  Math.max(1, (windows[windows.length - 1].to_s - windows[0].from_s) / 86_400);
