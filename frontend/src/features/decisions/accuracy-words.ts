import type { Accuracy } from '../../api/decisions/decisions.js';
import type { Certainty } from '../../api/types.js';

type Counts = Accuracy['all'];

export const certaintyNames: Record<Certainty, string> = {
  certain: 'certain',
  likely: 'likely',
  possible: 'possible',
};

/** Under so many visits the interval is so wide that it is said before the figure. Judgement, no source. */
const few = 5;

const percent = (fraction: number) => Math.round(100 * fraction);

/** `Right in 7 of 9 visits`. */
export const rightWords = ({ confirmed, visits }: Counts): string =>
  `Right in ${confirmed} of ${visits} ${visits === 1 ? 'visit' : 'visits'}`;

/** The interval of the fraction, with a word where visits are few. */
export function fractionWords({ visits, interval }: Counts): string {
  const range = `${percent(interval.low)} to ${percent(interval.high)} %`;
  return visits < few ? `${range}; too few visits to say more.` : `${range}.`;
}
