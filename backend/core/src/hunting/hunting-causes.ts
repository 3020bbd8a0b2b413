import { quantity, statement, type Statement } from '../diagnosis/statement.js';
import { huntingCauses, type CauseExplanation, type HuntingCause } from '../steadiness/circuit-assessment.js';
import { nearShutForHunting_pct, type HuntingEvidence } from './hunting-evidence.js';

/** Names of the causes as a reader sees them. */
export const causeNames: Record<HuntingCause, string> = {
  'valve-friction': 'valve friction or lost steps',
  'loop-too-tight': 'control loop tuned too hard',
  'valve-too-large': 'valve too large for the duty, working near shut',
  'load-or-water-swings': 'load or water temperature swinging first',
  'under-steady-floor': 'superheat held under the steady floor',
  'circuits-disturb-each-other': 'two circuits disturbing each other',
  'measurement-noise': 'noise of the measurement',
};

interface Ledger {
  score: number;
  speaksFor: Statement[];
  speaksAgainst: Statement[];
}

/**
 * Weighs what may cause the hunting. Each piece of evidence adds to or takes from the log-odds of the causes it bears on
 * (weights are judgement, no source); the weights of the causes are the softmax. Likeliest first; causes without a word
 * for or against them are left out of the list but keep their share of belief.
 */
export function weighCauses(evidence: HuntingEvidence): CauseExplanation[] {
  const ledger = Object.fromEntries(
    huntingCauses.map((cause) => [cause, { score: prior[cause], speaksFor: [], speaksAgainst: [] }]),
  ) as unknown as Record<HuntingCause, Ledger>;
  const weigh = (cause: HuntingCause, points: number, sentence?: Statement) => {
    const entry = ledger[cause];
    entry.score += points;
    if (sentence && points !== 0) (points > 0 ? entry.speaksFor : entry.speaksAgainst).push(sentence);
  };
  weighFriction(evidence, weigh);
  weighSize(evidence, weigh);
  weighSwings(evidence, weigh);
  weighFloor(evidence, weigh);
  weighNeighbours(evidence, weigh);
  weighNoise(evidence, weigh);
  const highest = Math.max(...huntingCauses.map((cause) => ledger[cause].score));
  const total = huntingCauses.reduce((sum, cause) => sum + Math.exp(ledger[cause].score - highest), 0);
  return huntingCauses
    .map((key) => ({
      key,
      cause: causeNames[key],
      weight: Math.exp(ledger[key].score - highest) / total,
      speaksFor: ledger[key].speaksFor,
      speaksAgainst: ledger[key].speaksAgainst,
    }))
    .sort((a, b) => b.weight - a.weight)
    .filter((cause, index) => index === 0 || cause.weight >= 0.03);
}

/** Log-odds before any evidence: tuning is the commonest cause (common practice, no source). */
const prior: Record<HuntingCause, number> = {
  'loop-too-tight': 1,
  'valve-friction': 0,
  'valve-too-large': 0,
  'load-or-water-swings': -0.5,
  'under-steady-floor': 0,
  'circuits-disturb-each-other': -1,
  'measurement-noise': -1,
};

type Weigh = (cause: HuntingCause, points: number, sentence?: Statement) => void;

function weighFriction(e: HuntingEvidence, weigh: Weigh): void {
  if (e.frictionShare + e.notFrictionShare > 0) {
    const values = {
      share: quantity('share', e.frictionShare),
      windows: quantity('count', e.windows),
    };
    const sentence = statement(
      'Opening and superheat are a quarter of a cycle apart, as with a valve that sticks and jumps, in {share} of {windows} hunting windows.',
      values,
    );
    weigh('valve-friction', 3.5 * (e.frictionShare - 0.4), sentence);
    weigh('loop-too-tight', -1.5 * (e.frictionShare - 0.3));
  }
  if (e.openingCrestShare !== null && e.superheatCrestShare !== null) {
    const triangular = e.openingCrestShare < 0.4 && e.superheatCrestShare > 0.52;
    const sentence = statement(
      'The opening spends {opening} and superheat {superheat} of the time near its crests; a sine spends {sine}.',
      {
        opening: quantity('share', e.openingCrestShare),
        superheat: quantity('share', e.superheatCrestShare),
        sine: quantity('share', 0.5),
      },
    );
    weigh('valve-friction', triangular ? 1.5 : -0.8, sentence);
  }
}

function weighSize(e: HuntingEvidence, weigh: Weigh): void {
  if (e.opening_pct === null) return;
  const opening = { opening: quantity('percent-opening', e.opening_pct) };
  if (e.opening_pct < nearShutForHunting_pct)
    weigh(
      'valve-too-large',
      e.opening_pct < 12 ? 2.5 : 1.5,
      statement('While hunting the valve works at {opening} on average, near shut.', opening),
    );
  else
    weigh(
      'valve-too-large',
      -3,
      statement('While hunting the valve works at {opening} on average, well off its seat.', opening),
    );
  if (e.huntingShareNearShut !== null && e.huntingShareElsewhere !== null) {
    const difference = e.huntingShareNearShut - e.huntingShareElsewhere;
    weigh(
      'valve-too-large',
      2.5 * difference,
      statement(
        '{near} of the windows with the valve under {limit} hunt, against {elsewhere} of the others.',
        {
          near: quantity('share', e.huntingShareNearShut),
          limit: quantity('percent-opening', nearShutForHunting_pct),
          elsewhere: quantity('share', e.huntingShareElsewhere),
        },
      ),
    );
    weigh('loop-too-tight', -1.2 * difference);
  }
}

function weighSwings(e: HuntingEvidence, weigh: Weigh): void {
  const load = e.load;
  const water = e.water;
  let swings = false;
  if (load && load.amplitude >= 1.5 && (load.coherence ?? 0) > 0.4) {
    swings = true;
    weigh(
      'load-or-water-swings',
      3,
      statement(
        'Compressor load swings by {amplitude} percentage points to either side at the same period, with a squared coherence of {coherence}.',
        {
          amplitude: quantity('count', load.amplitude),
          coherence: quantity('ratio', load.coherence ?? 0),
        },
      ),
    );
  }
  if (water && water.signal === 'entering-water' && water.amplitude >= 0.1 && (water.coherence ?? 0) > 0.4) {
    swings = true;
    weigh(
      'load-or-water-swings',
      2.5,
      statement(
        'Entering water swings by {amplitude} to either side at the same period, with a squared coherence of {coherence}.',
        {
          amplitude: quantity('temperature-difference', water.amplitude),
          coherence: quantity('ratio', water.coherence ?? 0),
        },
      ),
    );
  }
  if (swings) weigh('loop-too-tight', -1.5);
  else if (load || water)
    weigh('load-or-water-swings', -2.5, statement('Neither load nor entering water swings at this period.'));
}

function weighFloor(e: HuntingEvidence, weigh: Weigh): void {
  if (e.floor_K !== null && e.mean_K !== null) {
    const values = {
      mean: quantity('temperature-difference', e.mean_K),
      floor: quantity('temperature-difference', e.floor_K),
    };
    if (e.mean_K < e.floor_K - 0.3)
      weigh(
        'under-steady-floor',
        3,
        statement(
          'Superheat averages {mean} while hunting; at this load it has been held steadily only down to {floor}.',
          values,
        ),
      );
    else
      weigh(
        'under-steady-floor',
        -1.5,
        statement(
          'Superheat averages {mean} while hunting, although it has been held steadily down to {floor} at this load.',
          values,
        ),
      );
  }
  if (e.mean_K !== null && e.mean_K < 4.5 && e.floor_K === null)
    weigh(
      'under-steady-floor',
      1,
      statement('Superheat averages only {mean} while hunting.', {
        mean: quantity('temperature-difference', e.mean_K),
      }),
    );
  if (e.mean_K !== null && e.mean_K > 7)
    weigh(
      'under-steady-floor',
      -1.5,
      statement('Superheat averages {mean} while hunting, which most evaporators hold with ease.', {
        mean: quantity('temperature-difference', e.mean_K),
      }),
    );
}

function weighNeighbours(e: HuntingEvidence, weigh: Weigh): void {
  if (e.neighbourShare === null) {
    weigh('circuits-disturb-each-other', -2);
    return;
  }
  const values = { share: quantity('share', e.neighbourShare), windows: quantity('count', e.windows) };
  if (e.neighbourShare > 0.5)
    weigh(
      'circuits-disturb-each-other',
      4 * e.neighbourShare,
      statement(
        'Another circuit of the unit swings at the same period in {share} of {windows} hunting windows.',
        values,
      ),
    );
  else
    weigh(
      'circuits-disturb-each-other',
      -3,
      statement(
        'Another circuit of the unit swings at the same period in only {share} of {windows} hunting windows.',
        values,
      ),
    );
}

function weighNoise(e: HuntingEvidence, weigh: Weigh): void {
  if (e.openingAmplitude_pct === null) return;
  const values = {
    opening: quantity('percent-opening', e.openingAmplitude_pct),
    amplitude: quantity('temperature-difference', e.amplitude_K),
  };
  if (e.openingAmplitude_pct < 0.3 && e.amplitude_K < 1)
    weigh(
      'measurement-noise',
      3,
      statement(
        'Superheat swings by {amplitude} but the opening by only {opening}: the valve takes no part.',
        values,
      ),
    );
  else
    weigh(
      'measurement-noise',
      -3,
      statement("The opening swings by {opening} with the superheat's {amplitude}.", values),
    );
}

/** The one check, remote where possible, that separates the two likeliest causes. Null where one stands alone. */
export function separatingCheck(causes: readonly CauseExplanation[]): Statement | null {
  if (causes.length < 2) return null;
  const pair = [causes[0].key, causes[1].key];
  const has = (cause: HuntingCause) => pair.includes(cause);
  if (has('valve-friction'))
    return statement(
      'Have the valve held at a fixed opening for ten minutes at steady load: a swing that stops was made by loop and valve together; then step it by 2 % both ways and see whether superheat answers each step, which a sticking valve does not.',
    );
  if (has('load-or-water-swings'))
    return statement(
      'Have the valve held at a fixed opening for ten minutes: if superheat goes on swinging with load or water, the swing comes from outside.',
    );
  if (has('circuits-disturb-each-other'))
    return statement(
      'Hold the other circuit at fixed load and fixed opening for ten minutes and see whether this one calms down.',
    );
  if (has('under-steady-floor'))
    return statement(
      'Raise the superheat setpoint by 2 K for an hour at the same load: hunting under the steady floor stops, hunting from tuning goes on.',
    );
  if (has('valve-too-large'))
    return statement(
      'Compare with hours of high load: a valve too large calms down when it is well open, a loop tuned too hard goes on.',
    );
  return statement(
    'Read superheat with a second sensor for ten minutes, or look whether suction pressure swings at the same period.',
  );
}
