import { quantity, statement, type Statement } from '../../diagnosis/statement.js';
import type { HuntingCause } from '../../steadiness/circuit-assessment.js';
import { nearShutForHunting_pct, type HuntingEvidence } from './hunting-evidence.js';
import { followingAmplitudeRatio } from './neighbours.js';

/** Adds to or takes from the log-odds of a cause, with the sentence that says why. */
export type Weigh = (cause: HuntingCause, points: number, sentence?: Statement) => void;

/** What each piece of the evidence adds to or takes from the causes it bears on; weights are judgement, no source. */
export function weighEvidence(evidence: HuntingEvidence, weigh: Weigh): void {
  weighFriction(evidence, weigh);
  weighSize(evidence, weigh);
  weighSwings(evidence, weigh);
  weighFloor(evidence, weigh);
  weighNeighbours(evidence, weigh);
  weighNoise(evidence, weigh);
}

/**
 * Causes by which a loop is poorly damped or unstable: gains of controller, valve or neighbour are too high. Growth to a limit, and
 * swings as unlike as those of noise in a poorly damped loop, do not tell them apart: they count for each of them.
 */
const ofUnstableLoop: readonly HuntingCause[] = [
  'loop-too-tight',
  'valve-too-large',
  'circuits-disturb-each-other',
];

/** Superheat that a swing does not get under: liquid reaches the outlet, or the controller shuts faster. Common practice, no source. */
const limit_K = 2.3;

/** What stops the swing from growing: a loop unstable by itself grows until a limit stops it; friction holds it well before. */
function weighFriction(e: HuntingEvidence, weigh: Weigh): void {
  // Where the opening is sent, but too coarse or late to show phase or shape, nothing parts friction from tuning.
  if (
    e.frictionFraction + e.notFrictionFraction === 0 &&
    e.openingSwingScatter === null &&
    e.openingCoherence !== null
  )
    weigh('valve-friction', 1);
  if (e.frictionFraction + e.notFrictionFraction > 0) {
    const sentence = statement(
      'Opening and superheat are a quarter of a cycle apart, as with a valve that sticks and jumps, in {share} of {windows} hunting windows.',
      { share: quantity('share', e.frictionFraction), windows: quantity('count', e.windows) },
    );
    weigh('valve-friction', 2 * (e.frictionFraction - 0.2), sentence);
    weigh('loop-too-tight', -e.frictionFraction);
  }
  if (e.lowest_K === null || e.mean_K === null || e.openingAmplitude_pct === null) return;
  const atLimit = e.lowest_K < limit_K || e.openingAmplitude_pct > 0.6 * (e.opening_pct ?? Infinity);
  const limits = {
    lowest: quantity('temperature-difference', e.lowest_K),
    opening: quantity('percent-opening', e.openingAmplitude_pct),
  };
  if (atLimit && e.amplitude_K > 1.2) {
    const sentence = statement(
      'Superheat dips to {lowest} and the opening swings by {opening}: the oscillation has grown until a limit stops it, as in an unstable control loop.',
      limits,
    );
    for (const cause of ofUnstableLoop) weigh(cause, 1.5, sentence);
    weigh('valve-friction', -2.5, sentence);
  }
  if (e.openingSwingScatter === null || e.openingSwing_pct === null) return;
  const sizes = {
    swing: quantity('percent-opening', e.openingSwing_pct),
    scatter: quantity('share', e.openingSwingScatter),
    law: quantity('share', 0.52),
  };
  const text =
    'From reversal to reversal the opening travels {swing}, with a relative scatter of {scatter}. Noise in a poorly damped loop gives a scatter of {law}, friction a much smaller one.';
  if (e.openingSwingScatter < 0.38 && !atLimit) {
    weigh('valve-friction', e.openingSwingScatter < 0.3 ? 3 : 2, statement(text, sizes));
    weigh('under-steady-floor', -1);
  } else if (e.openingSwingScatter > 0.42) {
    weigh('valve-friction', -2, statement(text, sizes));
    for (const cause of ofUnstableLoop) weigh(cause, 0.7, statement(text, sizes));
  }
}

/**
 * Valves are chosen to open by more than half at full load; one that needs less than this there is too large, however
 * far it opens while it hunts (common practice, no source).
 */
const smallAtFullLoad_pct = 30;
/** From this load on the opening at full load is told from it in proportion. Judgement, no source. */
const leastLoad_pct = 30;

/** Opening that full load would need, by the flow, which goes with both; null where the load is not sent or too low to tell. */
const openingAtFullLoad_pct = ({ opening_pct, load_pct }: HuntingEvidence): number | null =>
  opening_pct === null || load_pct === null || load_pct < leastLoad_pct
    ? null
    : (100 * opening_pct) / Math.min(100, load_pct);

function weighSize(e: HuntingEvidence, weigh: Weigh): void {
  if (e.opening_pct === null) return;
  const opening = { opening: quantity('percent-opening', e.opening_pct) };
  const full_pct = openingAtFullLoad_pct(e);
  const small = full_pct !== null && full_pct < smallAtFullLoad_pct;
  if (e.opening_pct < nearShutForHunting_pct) {
    weigh(
      'valve-too-large',
      e.opening_pct < 14 || small ? 3 : 2,
      statement(
        'While hunting the valve works at {opening} on average, nearly closed, where a small move changes the flow a lot.',
        opening,
      ),
    );
    weigh('loop-too-tight', -0.8);
  } else if (small) {
    weigh(
      'valve-too-large',
      2,
      statement(
        'While hunting the valve works at {opening} on average; full load would need about {full}, where a valve that fits opens by more than half.',
        { ...opening, full: quantity('percent-opening', full_pct) },
      ),
    );
    weigh('loop-too-tight', -0.8);
  } else
    weigh(
      'valve-too-large',
      -3,
      statement('While hunting the valve works at {opening} on average, well off its seat.', opening),
    );
  // A valve that is small at full load works near its seat at every load: what it does under and over a fifth tells nothing of its size then.
  if (!small && e.huntingFractionNearShut !== null && e.huntingFractionElsewhere !== null) {
    const difference = e.huntingFractionNearShut - e.huntingFractionElsewhere;
    weigh(
      'valve-too-large',
      2.5 * difference,
      statement('With the valve under {limit}, {near} of the windows hunt; otherwise {elsewhere}.', {
        near: quantity('share', e.huntingFractionNearShut),
        limit: quantity('percent-opening', nearShutForHunting_pct),
        elsewhere: quantity('share', e.huntingFractionElsewhere),
      }),
    );
    weigh('loop-too-tight', -1.2 * difference);
  }
}

function weighSwings(e: HuntingEvidence, weigh: Weigh): void {
  const water = e.enteringWater;
  let outside = false;
  let looked = false;
  if (water) {
    looked = true;
    const sentence = statement(
      'Entering water swings by {amplitude} to either side at the same period, with a squared coherence of {coherence}.',
      {
        amplitude: quantity('temperature-difference', water.amplitude),
        coherence: quantity('ratio', water.coherence ?? 0),
      },
    );
    // The circuit's own hunting reaches the entering water only through the building, so far smaller than the leaving water.
    if (
      water.amplitude >= 0.1 &&
      (water.coherence ?? 0) > 0.5 &&
      water.amplitude > 0.7 * (e.leavingWater?.amplitude ?? 0)
    ) {
      outside = true;
      weigh('load-or-water-swings', 4, sentence);
    } else weigh('load-or-water-swings', -2, sentence);
  }
  const load = e.load;
  if (load && (load.coherence ?? 0) > 0.4 && load.amplitude >= 1.5) {
    looked = true;
    const perKelvin = load.amplitude / Math.max(e.amplitude_K, 0.1);
    const sentence = statement(
      'Compressor load swings with it by {amplitude} percentage points, {ratio} for each kelvin of superheat swing; a load that only follows the hunting swings little.',
      { amplitude: quantity('count', load.amplitude), ratio: quantity('ratio', perKelvin) },
    );
    if (perKelvin > 2.5) {
      outside = true;
      weigh('load-or-water-swings', 2, sentence);
    } else weigh('load-or-water-swings', -1, sentence);
  } else if (load) looked = true;
  if (outside) {
    weigh('loop-too-tight', -1.5);
    weigh('valve-friction', -2);
    weigh('circuits-disturb-each-other', -3);
    weigh('under-steady-floor', -1);
  } else if (!looked) weigh('load-or-water-swings', -0.5);
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
  // Superheat is commonly held between 4 and 12 K (common practice, no source).
  if (e.mean_K !== null && e.mean_K < 4.2 && e.amplitude_K < 0.5 * e.mean_K) {
    const sentence = statement(
      'Superheat averages only {mean} while hunting; evaporators are commonly run at {usual} or more.',
      {
        mean: quantity('temperature-difference', e.mean_K),
        usual: quantity('temperature-difference', 4),
      },
    );
    weigh('under-steady-floor', 3.5, sentence);
  } else if (e.mean_K !== null && e.mean_K > 5 && e.floor_K === null)
    weigh(
      'under-steady-floor',
      -2,
      statement('Superheat averages {mean} while hunting, which is in the usual range.', {
        mean: quantity('temperature-difference', e.mean_K),
      }),
    );
  if (e.mean_K !== null && e.mean_K > 7)
    weigh(
      'under-steady-floor',
      -1.5,
      statement('Superheat averages {mean} while hunting, which most evaporators hold without difficulty.', {
        mean: quantity('temperature-difference', e.mean_K),
      }),
    );
}

/**
 * A circuit that only follows hardly ever swings as far as the one that it follows. Where it does in this share of the windows in which both
 * swing at one period, it takes part, and swings less in the others by its load. Judgement, no source.
 */
const comparableAtTimes = 0.25;

function weighNeighbours(e: HuntingEvidence, weigh: Weigh): void {
  weighAlone(e, weigh);
  if (e.neighbourFraction === null) {
    weigh('circuits-disturb-each-other', -2);
    return;
  }
  // How far the other swings goes with its load; that it swings at this period at all is what both have in common.
  const alike = e.neighbourFraction + (e.neighbourFollowsFraction ?? 0);
  const values = { share: quantity('share', alike), windows: quantity('count', e.windows) };
  const ratio = e.neighbourRatio;
  if (
    ratio !== null &&
    e.neighbourFollowsFraction !== null &&
    e.neighbourFraction < comparableAtTimes * alike
  ) {
    if ((e.neighbourPressureRatio ?? 0) >= followingAmplitudeRatio) return weighCoupled(e, alike, weigh);
    const sentence = statement(
      'Another circuit swings at the same period, but only {ratio} as far, in {share} of {windows} hunting windows: it follows this circuit and is not the cause.',
      {
        ratio: quantity('share', ratio),
        share: quantity('share', e.neighbourFollowsFraction),
        windows: values.windows,
      },
    );
    weigh('circuits-disturb-each-other', -4, sentence);
    weigh('loop-too-tight', 0.5);
    return;
  }
  if (alike <= 0.5) {
    weigh(
      'circuits-disturb-each-other',
      -3,
      statement(
        'Another circuit of the unit swings at the same period in only {share} of {windows} hunting windows.',
        values,
      ),
    );
    return;
  }
  // As a circuit that swings less than a third as far follows this one, this one follows one that swings over three times
  // as far; what its valve and load do then is the other's doing.
  const follows = ratio !== null && ratio > 1 / followingAmplitudeRatio;
  if (follows) {
    weigh('valve-friction', -2);
    weigh('loop-too-tight', -1);
    weigh('load-or-water-swings', -1);
  }
  weigh(
    'circuits-disturb-each-other',
    3 * alike + (follows ? 2 : 0),
    ratio === null
      ? statement(
          'Another circuit of the unit swings at the same period in {share} of {windows} hunting windows.',
          values,
        )
      : statement(
          follows
            ? 'Another circuit of the unit swings at the same period and much further, {ratio} as far, in {share} of {windows} hunting windows: this circuit follows it.'
            : 'Another circuit of the unit swings at the same period, {ratio} as far, in {share} of {windows} hunting windows.',
          { ...values, ratio: quantity('share', ratio) },
        ),
  );
  if (e.neighbourPhaseLocking === null || e.neighbourPhaseWindows === null) return;
  const byChance = lockedByChance(e.neighbourPhaseLocking, e.neighbourPhaseWindows);
  weigh(
    'circuits-disturb-each-other',
    1.5 - 3 * byChance,
    statement(
      'The phase between the two circuits is compared from window to window: phase locking {lock} on a scale from 0 (random) to 1 (locked), over {windows} windows.',
      {
        lock: quantity('ratio', e.neighbourPhaseLocking),
        windows: quantity('count', e.neighbourPhaseWindows),
      },
    ),
  );
  weigh('loop-too-tight', -1.5 * (1 - byChance));
}

/**
 * The other circuit's superheat only follows, but its suction pressure swings along: heat passes between the evaporators. A circuit that is
 * merely beside shows nothing of the kind, as the water that both take in hardly swings. Whether the pair swings together or one drives the other
 * is not told by that, the less the further the other's pressure swings.
 */
function weighCoupled(e: HuntingEvidence, alike: number, weigh: Weigh): void {
  weigh(
    'circuits-disturb-each-other',
    3 * alike * Math.min(1, e.neighbourPressureRatio!),
    statement(
      'Another circuit swings at the same period in {share} of {windows} hunting windows: its superheat only {ratio} as far, but its suction pressure {pressure} as far, so heat passes between the evaporators.',
      {
        share: quantity('share', alike),
        windows: quantity('count', e.windows),
        ratio: quantity('share', e.neighbourRatio!),
        pressure: quantity('share', e.neighbourPressureRatio!),
      },
    ),
  );
}

/** How often a circuit that another one disturbs hunts while that one stands, by chance. Judgement, no source. */
const huntsAlone = 0.15;
/** Windows that follow each other go together: no more than so many count. Judgement, no source. */
const mostCounted = 3;
const mostPoints = 3;

/**
 * Whether the swing ends with the other circuit, at like loads: log of the likelihood of what was seen while it stood, with circuits that
 * disturb each other (which then hardly hunt) over a cause of the circuit's own (which hunts as often as beside the other).
 */
function weighAlone({ alone, together }: HuntingEvidence, weigh: Weigh): void {
  if (alone === null || together === null) return;
  const own = (together.hunting + 1) / (together.windows + 2);
  if (own <= huntsAlone) return;
  const share = alone.hunting / alone.windows;
  const each = share * Math.log(huntsAlone / own) + (1 - share) * Math.log((1 - huntsAlone) / (1 - own));
  const points = each * Math.min(mostCounted, alone.windows);
  weigh(
    'circuits-disturb-each-other',
    Math.max(-mostPoints, Math.min(mostPoints, points)),
    statement(
      'While the other circuits stand, {alone} of {aloneWindows} windows hunt; at like loads while another runs, {together} of {togetherWindows}.',
      {
        alone: quantity('count', alone.hunting),
        aloneWindows: quantity('count', alone.windows),
        together: quantity('count', together.hunting),
        togetherWindows: quantity('count', together.windows),
      },
    ),
  );
}

/**
 * Probability that the phases of two circuits that have nothing to do with each other agree as well over so many windows: exp(-n R^2), the
 * Rayleigh test of uniformity (Mardia & Jupp 2000, Directional Statistics, 6.3, from memory). A locking of 0.7 is seen
 * by chance in a fifth of cases over three windows, and never over thirty.
 *
 * @param locking length of the mean direction, 0..1
 * @example lockedByChance(0.7, 3) // 0.23
 */
export const lockedByChance = (locking: number, windows: number): number =>
  Math.exp(-windows * locking * locking);

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
