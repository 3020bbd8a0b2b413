import './urgency.css';
import './urgency-bar.css';
import type { PortfolioRow } from '../../api/types.js';
import { urgencyWords } from './urgency.js';

type Counts = PortfolioRow['byUrgency'];

const parts = [
  ['today', ({ today }: Counts) => today],
  ['this-week', ({ thisWeek }: Counts) => thisWeek],
  ['next-visit', ({ nextVisit }: Counts) => nextVisit],
  ['watch', ({ watch }: Counts) => watch],
] as const;

/** The units as words: `3 today, 2 this week, 15 without findings`. */
export function urgencyCounts(counts: Counts): string {
  const words = parts.flatMap(([urgency, of]) =>
    of(counts) > 0 ? [`${of(counts)} ${urgencyWords[urgency]}`] : [],
  );
  return [...words, `${counts.quiet} without findings`].join(', ');
}

/**
 * Units by urgency as one bar: as long a part as there are units, begun by the rule of its urgency and with its number,
 * so that tone is never all.
 */
export function UrgencyBar({ counts }: { counts: Counts }) {
  return (
    <div className="urgency-bar" role="img" aria-label={urgencyCounts(counts)} title={urgencyCounts(counts)}>
      {parts.map(([urgency, of]) => {
        const units = of(counts);
        return units === 0 ? null : (
          <span key={urgency} className={`urgency-${urgency}`} style={{ flex: `${units} 0 1.6rem` }}>
            {units}
          </span>
        );
      })}
      {counts.quiet > 0 && (
        <span className="urgency-bar-quiet" style={{ flex: `${counts.quiet} 0 1.6rem` }}>
          {counts.quiet}
        </span>
      )}
    </div>
  );
}
