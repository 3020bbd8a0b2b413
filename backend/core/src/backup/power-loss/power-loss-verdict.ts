import { quantity, statement, type Statement } from '../../diagnosis/index.js';
import { hazardsOf } from '../findings/index.js';
import type { PowerLossReview } from './power-loss-review.js';
import { worstAtRestart } from './restart.js';

/** A review without its sentences. */
export type LossFacts = Omit<PowerLossReview, 'verdict' | 'caution' | 'findings'>;

/** One sentence on what the loss did. */
export function verdictOf(review: LossFacts): Statement {
  const { circuits } = review;
  const passed = circuits.reduce((sum, circuit) => sum + (circuit.refrigerantPassedAtMost_kg ?? 0), 0);
  const worst = worstAtRestart(circuits);
  if (review.outcome === 'did-not-shut') {
    const stayed = quantity('percent-opening', review.openingAfter_pct ?? 0);
    const open = circuits.filter((circuit) => (circuit.refrigerantPassedAtMost_kg ?? 0) > 0);
    const whole = open.length > 0 && open.every((circuit) => circuit.wholeChargeCanHavePassed);
    return passed > 0
      ? statement(
          whole
            ? 'The valve did not shut but stayed {opening} open; as much as the whole charge, {mass}, can have passed.'
            : 'The valve did not shut but stayed {opening} open; at most {mass} of refrigerant can have passed.',
          {
            opening: stayed,
            mass: quantity('mass', passed),
          },
        )
      : statement('The valve did not shut but stayed {opening} open.', { opening: stayed });
  }
  if (review.outcome === 'floodback-at-restart' && worst)
    return statement(
      review.shut
        ? 'The valve shut, but at the restart superheat fell to {lowest} and stayed below the floodback limit for {time}.'
        : 'It is not known whether the valve shut; at the restart superheat fell to {lowest} and stayed below the floodback limit for {time}.',
      {
        lowest: quantity('temperature-difference', worst.restartLeastSuperheat_K!),
        time: quantity('duration', worst.restartUnderFloodback_s!),
      },
    );
  if (review.outcome === 'unknown')
    return statement(
      review.closingSent
        ? 'A closing was sent, but not finely enough to say whether the valve shut.'
        : 'No closing was sent for this power loss, so it is not known whether the valve shut.',
    );
  const restart: Statement = worst
    ? {
        text: ', and at the restart superheat stayed at {lowest} or above',
        quantities: { lowest: quantity('temperature-difference', worst.restartLeastSuperheat_K!) },
      }
    : { text: '; no restart has been seen', quantities: {} };
  return review.timeToShut_s !== null
    ? statement(`The valve shut in {time}${restart.text}.`, {
        time: quantity('duration', review.timeToShut_s),
        ...restart.quantities,
      })
    : statement(`The valve was shut${restart.text}.`, restart.quantities);
}

export function cautionOf(refrigerants: readonly string[]): Statement {
  return statement(
    hazardsOf(refrigerants).includes('flammable')
      ? 'Before any work on it: circuit under pressure, flammable refrigerant, live parts and capacitors that stay charged. Licensed people only; follow local codes.'
      : 'Before any work on it: circuit under pressure, live parts and capacitors that stay charged. Licensed people only; follow local codes.',
  );
}
