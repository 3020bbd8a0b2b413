import type { Cause } from '../../cause.js';
import { urgencies, type Hazard, type Urgency } from '../../finding.js';

/** A cause that a departure may have, with its probability. */
export interface Weighed {
  cause: Cause;
  weight: number;
}

/** Under this belief, three to one, nobody goes: the check that separates the causes comes first. Judgement, no source. */
const separated = 0.75;
/** A rival counts from this share of the likeliest cause's belief on. Judgement, no source. */
const likelyRival = 0.3;

/** A flow, a compressor, gas or a leak cannot wait long; a departure that nothing known explains is looked at first. */
const soon: readonly Cause[] = [
  'missing-refrigerant',
  'condenser-flow-low',
  'evaporator-flow-low',
  'compressor-weak',
  'gas-in-circuit',
];
const asks = (cause: Cause): Urgency =>
  cause === 'something-else' ? 'watch' : soon.includes(cause) ? 'this-week' : 'next-visit';

/**
 * How soon a departure from normal asks for someone, from its causes with the likeliest first. By itself a departure is no
 * danger: it is what its cause makes of it. So it asks for no more than each likely cause would ask for, and for nobody
 * while the causes are not told apart. A leak of what burns or poisons cannot wait.
 */
export function departureUrgency(weighed: readonly Weighed[], hazards: readonly Hazard[]): Urgency {
  const [first] = weighed;
  if (first === undefined) return 'watch';
  if (first.cause === 'missing-refrigerant' && hazards.length > 0 && first.weight > 0.5) return 'today';
  if (first.weight < separated) return 'watch';
  const likely = weighed.filter(
    (one) => one === first || (one.cause !== 'something-else' && one.weight >= likelyRival * first.weight),
  );
  return urgencies[Math.max(...likely.map(({ cause }) => urgencies.indexOf(asks(cause))))];
}
