import { median } from '../../../numerics/index.js';
import type { Urgency } from '../../../diagnosis/finding.js';
import { statement } from '../../../diagnosis/statement.js';
import type { SpanSummary } from '../../circuit-assessment.js';
import { dischargeEvidence } from './discharge-evidence.js';
import { heldAtSetpoint } from './held-at-setpoint.js';
import {
  basis,
  K,
  minutes,
  fraction,
  spanDays,
  steadyMean,
  type Draft,
  type FindingContext,
} from '../finding-parts.js';
import { supplyExplanations } from '../supply/liquid-supply.js';
import { timeUnderLimit } from './time-under-limit.js';
import { minutesUnderLimit, summarise } from '../../windows/summaries.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

/** Findings on the level at which superheat is held. */
export function floodbackRisk(context: FindingContext, week: SpanSummary): Draft | null {
  const { week: windows, day, circuit } = context;
  const under = week.underLimitFraction ?? 0;
  const surely = week.surelyUnderLimitFraction ?? 0;
  if (under < 0.02 && surely < 0.005) return null;
  const today = summarise(day);
  const todayMinutes = today ? (today.underLimitFraction ?? 0) * today.steadyMinutes : 0;
  const seen = windows.filter((window) => (window.superheat?.underLimitFraction ?? 0) > 0.01);
  // What is claimed of it is what the excursions seen show for sure, over the week or over the last day alone.
  const atLeast = (of: 'as-read' | 'surely') =>
    Math.max(timeUnderLimit(windows, of).atLeast, timeUnderLimit(day, of).atLeast);
  const sure = { under: atLeast('as-read'), surely: atLeast('surely') };
  const dry = dischargeOfDryVapour(context, windows);
  const runs = isKnownToRun(windows);
  const urgency: Urgency =
    dry || !runs
      ? 'watch'
      : (sure.surely >= 0.05 || sure.under >= 0.3) && todayMinutes >= 10
        ? 'today'
        : sure.surely >= 0.01 || sure.under >= 0.1
          ? 'this-week'
          : sure.surely >= 0.0025 || sure.under >= 0.01
            ? 'next-visit'
            : 'watch';
  const uncertainty = Math.max(...windows.map((window) => window.superheat?.uncertainty_K ?? 0));
  return {
    condition: 'floodback-risk',
    headline: statement(
      'Superheat is under {limit} for {share} of steady running: liquid may reach the compressor.',
      {
        limit: K(circuit.floodbackLimit_K),
        share: fraction(under),
      },
    ),
    reasons: [
      surely < 0.005
        ? statement(
            'If the sensors read low by two standard uncertainties ({uncertainty} each), it is hardly ever under the limit.',
            { uncertainty: K(uncertainty) },
          )
        : statement(
            '{share} of the time it is under the limit even if the sensors read low by two standard uncertainties ({uncertainty} each).',
            { share: fraction(surely), uncertainty: K(uncertainty) },
          ),
      ...(week.lowest_K === null
        ? []
        : [
            statement('In the worst two hours one value in a hundred is under {lowest}.', {
              lowest: K(week.lowest_K),
            }),
          ]),
      ...(todayMinutes > 0
        ? [statement('In the last day it was under the limit for {time}.', { time: minutes(todayMinutes) })]
        : []),
      ...(dry ? [rather(dry)] : []),
      ...(runs ? [] : [mayStand]),
      basis(week),
    ],
    ...(dry || !runs ? {} : heldAtSetpoint(windows, context.earlier)),
    certainty:
      dry || !runs ? 'possible' : sure.surely >= 0.01 ? 'certain' : sure.under >= 0.1 ? 'likely' : 'possible',
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

/** Water that is cooled by so much shows that the compressor runs, K. Judgement, no source. */
const cooled_K = 0.5;

/** Whether anything but the suction side itself tells that the circuit runs: a load, an opening, a discharge pressure, or cooled water. */
export const isKnownToRun = (windows: FindingContext['week']): boolean =>
  windows.some(
    ({ valve, conditions: { compressorLoad_pct, condensingTemperature_K, ...water } }) =>
      valve !== null ||
      compressorLoad_pct !== null ||
      condensingTemperature_K !== null ||
      (water.enteringWaterTemperature_K ?? NaN) - (water.leavingWaterTemperature_K ?? NaN) > cooled_K,
  );

const mayStand = statement(
  'Neither load, opening nor discharge pressure is sent: a circuit at rest reads so as well.',
);

/** Limits of what a discharge tells; judgement, no source. */
const dryVapour = {
  /** Isentropic efficiency on dry vapour that a good compressor reaches: liquid of a few percent would show a higher one. */
  efficiency: 0.8,
  /**
   * A window that is under the limit for so much of its time has a mean discharge that shows it; where no valve is seen
   * to hold superheat either, one that is so for less.
   */
  underLimit: 0.5,
  underLimitWithoutValve: 0.05,
  /** A controller that reads the same superheat holds it nearer to its setpoint than this, K. */
  offSetpoint_K: -2.5,
  /** Fraction of the time under the limit of which it must be so. */
  of: 0.8,
};

/**
 * Median isentropic efficiency where the discharge contradicts liquid in the suction: nearly all of the time under the limit is of
 * windows that lie under it for long, in which no controller is seen to hold that superheat (no setpoint is sent, or it
 * lies far above), and whose discharge is as hot as a good compressor makes it of dry vapour. Then the thermometer sits
 * elsewhere, the evaporator is a flooded one, or a setting is wrong. Null where it is not so.
 */
function dischargeOfDryVapour(
  { refrigerant, dischargeSuperheatKnown }: FindingContext,
  windows: FindingContext['week'],
): number | null {
  if (!dischargeSuperheatKnown) return null;
  const efficiencies: number[] = [];
  let under = 0;
  let contradicted = 0;
  for (const window of windows) {
    const held = window.superheat;
    if (!held || !(held.underLimitFraction > 0)) continue;
    const time = minutesUnderLimit(window);
    under += time;
    const controlled = held.offset_K !== null && held.offset_K > dryVapour.offSetpoint_K;
    const least = window.valve === null ? dryVapour.underLimitWithoutValve : dryVapour.underLimit;
    if (held.underLimitFraction < least || controlled) continue;
    const efficiency = dischargeEvidence(window, refrigerant)?.efficiency ?? Infinity;
    if (efficiency >= dryVapour.efficiency) continue;
    contradicted += time;
    efficiencies.push(efficiency);
  }
  return contradicted >= dryVapour.of * under && efficiencies.length > 0 ? median(efficiencies) : null;
}

const rather = (efficiency: number) =>
  statement(
    'The discharge is as hot as a good compressor makes it of dry vapour, with an isentropic efficiency of {efficiency}: rather the suction sensor sits elsewhere, the evaporator is a flooded one, or refrigerant or gauge setting is wrong.',
    { efficiency: fraction(efficiency) },
  );

const noSetpointSent = statement(
  'No setpoint is sent, and the valve is not seen far open: a heat exchanger in the suction line, or a sensor at the compressor, reads so high as well.',
);

/** Without a setpoint, superheat so high is starving only where the valve is seen to be far open. */
const farOpen_pct = 80;

/** Tolerances of the sensors and of a mean over two hours leave this open, K. Judgement, no source. */
const warmerThanWater_K = 3;

/** Vapour from an evaporator is no warmer than the water that enters it: a reading over that for most of the time is of another place. */
function warmerThanItsWater(windows: readonly WindowJudgement[]): boolean {
  const warmer = steadyMean(windows, ({ superheat, conditions }) => {
    const { evaporatingTemperature_K, enteringWaterTemperature_K } = conditions;
    if (evaporatingTemperature_K === null || enteringWaterTemperature_K === null) return null;
    const suction_K = evaporatingTemperature_K + superheat!.mean_K;
    return suction_K > enteringWaterTemperature_K + warmerThanWater_K ? 1 : 0;
  });
  return warmer !== null && warmer.mean > 0.5;
}

const ofAnotherPlace = statement(
  'The suction sensor reads warmer than the water that enters the evaporator, which its vapour cannot be: it sits behind a heat exchanger or at the compressor, or is another sensor than its name says.',
);

export function starved(context: FindingContext, week: SpanSummary): Draft | null {
  const { week: windows } = context;
  const value = week.starvedFraction ?? 0;
  if (value < 0.2) return null;
  const seen = windows.filter((window) => (window.superheat?.starvedFraction ?? 0) > 0.1);
  const elsewhere = warmerThanItsWater(seen);
  const controlled = windows.some(
    ({ superheat, conditions }) =>
      superheat !== null &&
      (superheat.setpoint_K !== null || (conditions.valveOpening_pct ?? 0) >= farOpen_pct),
  );
  const shown = controlled && !elsewhere;
  const limit = windows.find((window) => window.superheat)?.superheat?.starvedLimit_K ?? 0;
  return {
    condition: 'starved',
    headline: statement(
      'The evaporator is starved: superheat is over {limit} for {share} of steady running.',
      {
        limit: K(limit),
        share: fraction(value),
      },
    ),
    reasons: [
      ...(week.mean_K === null ? [] : [statement('Superheat averages {mean}.', { mean: K(week.mean_K) })]),
      ...(elsewhere ? [ofAnotherPlace] : controlled ? [] : [noSetpointSent]),
      basis(week),
    ],
    ...supplyExplanations(context),
    certainty: !shown ? 'possible' : value >= 0.5 ? 'certain' : 'likely',
    urgency: !shown ? 'watch' : value >= 0.6 ? 'this-week' : 'next-visit',
    score: 15 + 35 * value,
    waiting: statement(
      'Waiting costs capacity and energy for as long as {share} of the running time is starved.',
      { share: fraction(value) },
    ),
    visit: [
      statement("Check charge, liquid-line filter and the valve's travel; take a reference thermometer."),
    ],
    seen: seen.length > 0 ? seen : windows,
  };
}

export function headroom({ headroom: found, week: windows }: FindingContext): Draft | null {
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
      statement("Lowering it that far may save {energy} of the compressor's energy.", {
        energy: fraction(found.energyFraction),
      }),
      found.assumption,
      statement('Based on {share} of the steady windows.', { share: fraction(found.coveredFraction) }),
    ],
    certainty: found.headroom_K > 3 * found.uncertainty_K ? 'likely' : 'possible',
    urgency: 'watch',
    score: Math.min(30, 500 * found.energyFraction),
    waiting: statement("Waiting costs about {energy} of the compressor's energy.", {
      energy: fraction(found.energyFraction),
    }),
    seen: windows,
  };
}
