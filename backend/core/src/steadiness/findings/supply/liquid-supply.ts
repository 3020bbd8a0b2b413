import type { Explanation } from '../../../diagnosis/finding.js';
import { statement, type Statement } from '../../../diagnosis/statement.js';
import { K, opening, fraction, steadyMean, type Draft, type FindingContext } from '../finding-parts.js';
import { summarise } from '../../windows/summaries.js';

export type SupplyCause =
  'missing-refrigerant' | 'restriction' | 'valve-too-small' | 'valve-does-not-open' | 'hunting';

export const supplyCauseNames: Record<SupplyCause, string> = {
  'missing-refrigerant': 'missing refrigerant',
  restriction: 'a restricted liquid line, such as a fouled filter',
  'valve-too-small': 'a valve too small for the duty',
  'valve-does-not-open': 'a valve that opens less than its counted position (lost steps)',
  hunting: 'hunting, which drives superheat and valve from one limit to the other',
};
/** From this fraction of hunting time and this amplitude on, a circuit passes its ends because it swings. Judgement, no source. */
const wideHunting = { fraction: 0.5, amplitude_K: 1.5 };

/** Subcooling under which the liquid may carry vapour to the valve, and over which it surely is all liquid, K. Judgement, no source. */
export const lowSubcooling_K = 1.75;
const fullSubcooling_K = 3;
/** How much further open than in earlier weeks at about the same load counts as a change, %. */
const openedBy_pct = 12;
const likeLoad_pct = 15;

/**
 * Why too little liquid passes the valve, and the one check that separates the two likeliest causes. Subcooling tells
 * missing refrigerant (it falls) from a restricted liquid line (it holds or rises); where an electronic valve holds
 * superheat, the opening is what gives way first (MEMORY, Rossi & Braun 1997, Breuker & Braun 1998; weights are
 * judgement, no source).
 */
export function supplyExplanations(
  context: FindingContext,
): Required<Pick<Draft, 'explanations' | 'separatingCheck'>> {
  const score: Record<SupplyCause, number> = {
    'missing-refrigerant': 0,
    restriction: 0,
    'valve-too-small': -0.5,
    'valve-does-not-open': -1,
    hunting: 0,
  };
  const supports = emptyLists();
  const contradicts = emptyLists();
  const weigh = (cause: SupplyCause, points: number, sentence: Statement) => {
    score[cause] += points;
    (points > 0 ? supports : contradicts)[cause].push(sentence);
  };
  weighSubcooling(context, weigh);
  weighHistory(context, weigh);
  const swings = weighHunting(context, weigh);
  const causes = (Object.keys(score) as SupplyCause[]).filter((cause) => cause !== 'hunting' || swings);
  const total = causes.reduce((sum, cause) => sum + Math.exp(score[cause]), 0);
  const explanations: Explanation[] = causes
    .map((cause) => ({
      cause: supplyCauseNames[cause],
      weight: Math.exp(score[cause]) / total,
      supports: supports[cause],
      contradicts: contradicts[cause],
    }))
    .sort((a, b) => b.weight - a.weight);
  return { explanations, separatingCheck: checkBetween(explanations[0].cause, explanations[1].cause) };
}

const emptyLists = (): Record<SupplyCause, Statement[]> => ({
  'missing-refrigerant': [],
  restriction: [],
  'valve-too-small': [],
  'valve-does-not-open': [],
  hunting: [],
});

type Weigh = (cause: SupplyCause, points: number, sentence: Statement) => void;

function weighSubcooling({ week }: FindingContext, weigh: Weigh): void {
  const found = steadyMean(week, (window) => window.conditions.subcooling_K);
  if (!found || found.minutes < 60) return;
  const value = { subcooling: K(found.mean) };
  if (found.mean < lowSubcooling_K) {
    weigh(
      'missing-refrigerant',
      3,
      statement('Subcooling is only {subcooling}: the condenser holds too little liquid.', value),
    );
    const full = statement(
      'Subcooling is only {subcooling}; if the liquid were only held back, it would be higher.',
      value,
    );
    weigh('restriction', -1.5, full);
    weigh('valve-too-small', -1.5, full);
    weigh('valve-does-not-open', -1.5, full);
  } else if (found.mean > fullSubcooling_K) {
    weigh(
      'missing-refrigerant',
      -3,
      statement('Subcooling is {subcooling}: there is enough liquid in the condenser.', value),
    );
    weigh(
      'restriction',
      1,
      statement(
        'Subcooling is {subcooling} although the valve is far open: liquid backs up ahead of a restriction.',
        value,
      ),
    );
  }
}

function weighHistory({ week, earlier }: FindingContext, weigh: Weigh): void {
  const far = week.filter((window) => (window.conditions.valveOpening_pct ?? 0) >= 80);
  const now = steadyMean(far, (window) => window.conditions.valveOpening_pct);
  const load = steadyMean(far, (window) => window.conditions.compressorLoad_pct);
  if (!now || !load) return;
  const alike = earlier.filter(
    ({ conditions }) => Math.abs((conditions.compressorLoad_pct ?? NaN) - load.mean) <= likeLoad_pct,
  );
  const before = steadyMean(alike, (window) => window.conditions.valveOpening_pct);
  if (!before || before.minutes < 240) return;
  const values = { now: opening(now.mean), before: opening(before.mean) };
  if (now.mean - before.mean >= openedBy_pct) {
    const changed = statement(
      'At about this load the valve was at {before} in the weeks before and is now at {now}: something has changed.',
      values,
    );
    weigh('valve-too-small', -2.5, changed);
    weigh('restriction', 0.7, changed);
    weigh('missing-refrigerant', 0.5, changed);
  } else {
    const same = statement(
      'At about this load the valve was at {before} in the weeks before already, and is now at {now}.',
      values,
    );
    weigh('valve-too-small', 1, same);
    weigh('restriction', -0.5, same);
  }
}

/** Whether the circuit swings so widely that the swing itself may be all there is. */
function weighHunting({ week, hunting }: FindingContext, weigh: Weigh): boolean {
  const huntingFraction = summarise(week)?.huntingFraction ?? 0;
  if (!hunting || huntingFraction < wideHunting.fraction || hunting.amplitude_K < wideHunting.amplitude_K)
    return false;
  weigh(
    'hunting',
    3,
    statement(
      'Superheat swings by {amplitude} to either side in {share} of the time judged, and the valve with it.',
      { amplitude: K(hunting.amplitude_K), share: fraction(huntingFraction) },
    ),
  );
  return true;
}

function checkBetween(first: string, second: string): Statement {
  const has = (cause: SupplyCause) => first === supplyCauseNames[cause] || second === supplyCauseNames[cause];
  if (has('hunting'))
    return statement(
      'Put the hunting right first: what remains once superheat is steady comes from the liquid supply.',
    );
  if (has('missing-refrigerant'))
    return statement(
      'Watch subcooling through an hour of high load: with missing refrigerant it falls to zero, with a restriction in the liquid line it stays or rises.',
    );
  if (has('restriction'))
    return statement(
      'At full load, measure the liquid temperature before and after the filter and each hand valve: a restriction cools the liquid by a kelvin or more, a valve that is too small or half shut does not.',
    );
  return statement(
    "Have the valve driven shut against its stop and opened again, so that its step count starts from zero again, and check whether it then needs less opening at the same load; if not, compare its size with the unit's rated capacity.",
  );
}
