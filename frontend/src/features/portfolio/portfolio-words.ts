import type { Portfolio, PortfolioRow } from '../../api/types.js';
import { count } from '../../quantities/format-quantity.js';
import { shareWords } from '../data-health/health-words.js';

/** The state of the portfolio in a sentence: what got better and worse this month, or since when that is known. */
export function portfolioHeadline({ month, units, judgingSince }: Portfolio): string {
  if (units === 0) return 'There are no units yet.';
  if (judgingSince === null) return 'Nothing has been judged yet.';
  const worse = month.counts.new + month.counts.worse;
  const better = month.counts.gone + month.counts.better;
  if (!month.known) return foundSoFar(worse, better);
  if (worse + better === 0) return 'No unit got worse or better this month.';
  if (better === 0) return `${count(worse, 'unit')} got worse this month, none better.`;
  if (worse === 0) return `${count(better, 'unit')} got better this month, none worse.`;
  return `${count(worse, 'unit')} got worse and ${better} better this month.`;
}

/** Before judging began nothing is known: what was found then need not have got worse. */
function foundSoFar(found: number, better: number): string {
  const have = found === 1 ? 'has' : 'have';
  const eased = better === 0 ? '' : `; ${better} got better`;
  return found === 0
    ? `No unit has been found to need someone since judging began${eased}.`
    : `${count(found, 'unit')} ${have} been found to need someone since judging began${eased}.`;
}

/** How the number of units that ask something of someone has changed, with its sign in words for a screen reader. */
export function changeWords({ change }: Pick<PortfolioRow, 'change'>): string {
  if (change === null) return 'not known yet';
  if (change === 0) return 'as many';
  return change > 0 ? `${change} more` : `${-change} fewer`;
}

export function provenWords({ proven, modules }: Pick<PortfolioRow, 'proven' | 'modules'>): string {
  return modules === 0 ? 'no modules' : `${proven} of ${modules}`;
}

/** What is wrong with the data of a row; or that nothing is. */
export function healthWords(
  row: Pick<PortfolioRow, 'circuits' | 'upToDate' | 'silent' | 'notJudged' | 'expected' | 'missing'>,
): string {
  const behind = row.circuits - row.upToDate;
  const lost = row.expected > 0 ? row.missing / row.expected : 0;
  const words = [
    ...(row.silent > 0 ? [count(row.silent, 'unit sends nothing', 'units send nothing')] : []),
    ...(lost > 0 ? [`${shareWords(lost)} of the day’s samples missing`] : []),
    ...(behind > 0 ? [`${behind} of ${count(row.circuits, 'circuit')} not judged for 6 h`] : []),
    ...(row.notJudged > 0
      ? [`${count(row.notJudged, 'window or closing', 'windows or closings')} failed`]
      : []),
  ];
  return words.length === 0 ? 'complete' : words.join('; ');
}
