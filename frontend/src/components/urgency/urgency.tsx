import './urgency.css';
import type { Certainty, Urgency } from '../../api/types.js';

export const urgencies: readonly Urgency[] = ['today', 'this-week', 'next-visit', 'watch'];

export const urgencyWords: Record<Urgency, string> = {
  today: 'today',
  'this-week': 'this week',
  'next-visit': 'next visit',
  watch: 'watch',
};

export const certaintyWords: Record<Certainty, string> = {
  certain: 'Certain.',
  likely: 'Likely.',
  possible: 'Possible.',
};

/** The word, with a rule beside it that is the heavier the sooner: solid, double, single, dotted. */
export function UrgencyWord({ urgency }: { urgency: Urgency }) {
  return <span className={`urgency-word urgency-${urgency}`}>{urgencyWords[urgency]}</span>;
}
