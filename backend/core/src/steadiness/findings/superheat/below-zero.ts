import { median } from '../../../numerics/index.js';
import type { Explanation } from '../../../diagnosis/finding.js';
import { statement, type Statement } from '../../../diagnosis/statement.js';
import { saturationPressure, saturationTemperature } from '../../../refrigerants/index.js';
import { OutOfRangeError } from '../../../units/index.js';
import { superheatDistribution } from '../../correction/superheat-distribution.js';
import { dischargeEvidence } from './discharge-evidence.js';
import { fraction, K, minutes, steadyMean, type Draft, type FindingContext } from '../finding-parts.js';
import { isKnownToRun } from './superheat-findings.js';
import { hunts } from '../../windows/summaries.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';

type Cause = 'liquid' | 'wet-sensor' | 'offset' | 'lag';

const names: Record<Cause, string> = {
  liquid: 'liquid refrigerant in the suction line',
  'wet-sensor': 'drops that wet the suction sensor, although most of the flow is vapour',
  offset:
    'a constant error: suction temperature reads low, suction pressure reads high, or refrigerant or gauge setting is wrong',
  lag: 'a suction sensor that lags behind the saturation temperature while superheat swings',
};

/** From this fraction of the steady time, and this long, a superheat under zero is no passing dip. Judgement, no source. */
const least = { fraction: 0.3, minutes: 60 };

interface BelowZero {
  draft: Draft;
  /** Liquid explains it: then floodback is claimed, too. */
  liquidPossible: boolean;
}

interface Level {
  minutes: number;
  /** Fractions of the time under 0 K, and under what liquid and the tolerances of the sensors can show. */
  negative: number;
  impossible: number;
}

/**
 * Superheat that reads under 0 K for long. Vapour in equilibrium is never colder than its dew point; liquid that boils in
 * the line reads between bubble and dew point. Whatever lies further down than that, and than two standard uncertainties
 * of the sensors, is an error of the measurement. Which it is follows from how far down it reads, from whether it swings,
 * and from the discharge, which liquid would cool; weights are judgement, no source.
 */
export function belowZero(context: FindingContext): BelowZero | null {
  const windows = context.week.filter((window) => window.superheat !== null);
  const level = levelOf(windows, context.refrigerant);
  if (level.negative < least.fraction || level.negative * level.minutes < least.minutes) return null;
  const seen = windows.filter((window) => superheatDistribution(window.superheat!)(0) > 0.1);
  const mean_K = steadyMean(seen, (window) => window.superheat!.mean_K)!.mean;
  const { score, supports, contradicts } = weighed(context, seen, level);
  const causes = (Object.keys(score) as Cause[]).sort((a, b) => score[b] - score[a]);
  const total = causes.reduce((sum, cause) => sum + Math.exp(score[cause]), 0);
  const explanations: Explanation[] = causes.map((cause) => ({
    cause: names[cause],
    weight: Math.exp(score[cause]) / total,
    supports: supports[cause],
    contradicts: contradicts[cause],
  }));
  const [likeliest] = explanations;
  const liquidPossible = score.liquid > score.offset - 1;
  // Saturated vapour is what a flooded evaporator gives; with no setpoint sent it may be one, or the sensor sit elsewhere.
  const mayBeSaturated =
    !liquidPossible &&
    level.impossible < 0.5 * level.negative &&
    seen.every((window) => window.superheat!.setpoint_K === null);
  return {
    liquidPossible,
    draft: {
      condition: 'superheat-below-zero',
      headline: statement(
        'Superheat reads under 0 K for {share} of steady running, {mean} on average: vapour cannot be colder than its dew point.',
        { share: fraction(level.negative), mean: K(mean_K) },
      ),
      reasons: [
        likeliest.weight >= 0.6
          ? statement(`Most likely: ${likeliest.cause}, {weight} likely.`, {
              weight: fraction(likeliest.weight),
            })
          : statement(
              'Whether it is liquid, a wet sensor, a lagging one or a constant error cannot be told from the data.',
            ),
        statement('Based on {time} of steady running.', { time: minutes(level.minutes) }),
      ],
      explanations,
      separatingCheck: statement(
        'Compare suction pressure and temperature with the water during a stop of ten minutes or more: a constant error stays, liquid and lag do not. Remotely, raise the setpoint by 3 K for half an hour: with a constant error superheat follows and stays as far off.',
      ),
      certainty: 'certain',
      urgency: mayBeSaturated || !isKnownToRun(seen) ? 'watch' : 'this-week',
      score: mayBeSaturated ? 20 : 60,
      waiting: statement(
        'Until this is settled, the superheat reading does not protect the compressor: either liquid reaches it, or the controller acts on a wrong value.',
      ),
      visit: [
        statement(
          'Bring a reference gauge and thermometer; check seat, contact paste and insulation of the suction sensor first.',
        ),
      ],
      hazards: ['rotating-parts'],
      seen,
    },
  };
}

function levelOf(windows: readonly WindowJudgement[], refrigerant: string): Level {
  let time = 0;
  let negative = 0;
  let impossible = 0;
  for (const window of windows) {
    const held = window.superheat!;
    const under = superheatDistribution(held);
    time += held.minutes;
    negative += held.minutes * under(0);
    impossible += held.minutes * under(-2 * held.uncertainty_K - glideOf(window, refrigerant));
  }
  return time > 0
    ? { minutes: time, negative: negative / time, impossible: impossible / time }
    : { minutes: 0, negative: 0, impossible: 0 };
}

/** Dew less bubble temperature at the window's suction pressure, K; 0 for a single substance or an unknown pressure. */
function glideOf({ conditions }: WindowJudgement, refrigerant: string): number {
  const dew_K = conditions.evaporatingTemperature_K;
  if (dew_K === null) return 0;
  try {
    return (
      dew_K - saturationTemperature(refrigerant, saturationPressure(refrigerant, dew_K, 'dew'), 'bubble')
    );
  } catch (error) {
    if (error instanceof OutOfRangeError) return 0;
    throw error;
  }
}

function weighed(
  { refrigerant, dischargeSuperheatKnown }: FindingContext,
  seen: readonly WindowJudgement[],
  level: Level,
) {
  const score: Record<Cause, number> = { liquid: 0, 'wet-sensor': -0.7, offset: 0, lag: -1.5 };
  const supports = lists();
  const contradicts = lists();
  const weigh = (causes: readonly Cause[], points: number, sentence: Statement) => {
    for (const cause of causes) {
      score[cause] += points;
      (points > 0 ? supports : contradicts)[cause].push(sentence);
    }
  };
  if (level.impossible >= 0.5 * level.negative) {
    const sentence = statement(
      'In {share} of steady running it reads lower than boiling liquid and the tolerances of the sensors can explain.',
      { share: fraction(level.impossible) },
    );
    weigh(['offset'], 2, sentence);
    weigh(['liquid', 'wet-sensor'], -2, sentence);
  } else
    weigh(
      ['liquid', 'wet-sensor'],
      1,
      statement('It stays within the tolerances of the sensors of saturation, where boiling liquid reads.'),
    );
  const swinging = seen.filter((window) => hunts(window) && window.superheat!.percentile95_K > 2);
  if (swinging.length > seen.length / 2)
    weigh(['lag'], 3, statement('Superheat swings from under zero to well over it in each cycle.'));
  if (!dischargeSuperheatKnown) return { score, supports, contradicts };
  const efficiencies = seen.flatMap((window) => dischargeEvidence(window, refrigerant)?.efficiency ?? []);
  if (efficiencies.length < Math.max(3, seen.length / 2)) return { score, supports, contradicts };
  const efficiency = median(efficiencies);
  if (efficiency > 1)
    weigh(
      ['liquid'],
      2.5,
      statement('The discharge is colder than a lossless compressor makes it of dry vapour.'),
    );
  else if (efficiency < 0.9) {
    const sentence = statement(
      'The discharge is as hot as dry vapour makes it, with an isentropic efficiency of {efficiency}: hardly any liquid evaporates in the compressor.',
      { efficiency: fraction(efficiency) },
    );
    weigh(['liquid'], -2.5, sentence);
    weigh(['offset'], 1, sentence);
  }
  return { score, supports, contradicts };
}

const lists = (): Record<Cause, Statement[]> => ({ liquid: [], 'wet-sensor': [], offset: [], lag: [] });
