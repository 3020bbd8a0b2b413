import type { Cause } from '../../cause.js';
import { priorOf } from '../../causes/patterns/priors.js';
import { surest } from '../../causes/stated-probability.js';
import type { Symptom } from './fewest-causes.js';
import { weightOf, withWeight } from './suspects.js';

/** What another circuit takes shows as warmer water where it comes from, and as a fouled evaporator where it goes missing. */
const exchange: Cause = 'circuits-disturb-each-other';
const counterpart = 'evaporator-fouled';
/** What all circuits share: it explains all of them at once as well. */
const shared = ['evaporator-flow-low', 'condenser-flow-low', 'condenser-fouled'] as const;
/** How often the circuit that gives the heat shows nothing of it, or something else. Judgement, no source. */
const unseen = 0.03;

/**
 * Heat that passes between circuits of a unit, from what each departs by: what one gains the other loses (conservation of energy).
 * So where one circuit's evaporator seems better than it was and another's fouled, one cause explains both, and by Bayes'
 * rule is likelier than a fault of each; where no other seems fouled, that heat came from there is little likely.
 *
 * @param circuits symptoms of each circuit of the unit
 */
export function weighedByHeatBetween(circuits: readonly (readonly Symptom[])[]): Symptom[][] {
  const departures = circuits.map((symptoms) =>
    symptoms.find(({ finding }) => finding.condition === 'departs-from-normal'),
  );
  const weights = departures.map(weightsOf);
  const passes = circuits.map(() => 0);
  const gains = weights.map((own) => own(exchange) > 0);
  weights.forEach((own, k) => {
    if (!gains[k]) return;
    const others = weights.map((_, m) => m).filter((m) => m !== k);
    const giver = others.reduce((best, m) =>
      weights[m](counterpart) > weights[best](counterpart) ? m : best,
    );
    const probability = exchanged(own, weights[giver]);
    passes[k] = Math.max(passes[k], probability);
    if (weights[giver](counterpart) > 0 && probability > own(exchange))
      passes[giver] = Math.max(passes[giver], probability);
  });
  return circuits.map((symptoms, k) =>
    symptoms.map((one) =>
      one === departures[k] && (gains[k] || passes[k] > 0)
        ? { ...one, suspects: withWeight(one.suspects, exchange, passes[k]) }
        : one,
    ),
  );
}

const weightsOf =
  (symptom: Symptom | undefined) =>
  (cause: Cause): number =>
    weightOf(symptom?.suspects ?? [], cause);

/** Probability that the heat which one circuit gains is what another loses; beliefs contain the priors of their causes. */
function exchanged(gaining: (cause: Cause) => number, giving: (cause: Cause) => number): number {
  const both = gaining(exchange) * (giving(counterpart) / priorOf[counterpart] + unseen);
  const alike = shared.reduce((sum, cause) => sum + (gaining(cause) * giving(cause)) / priorOf[cause], 0);
  return Math.min(surest, both / (both + alike + 1 - gaining(exchange)));
}
