import { useInfiniteQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { roundQuery } from '../../../api/queries.js';
import { Say } from '../../../components/say.js';
import { urgencyWords } from '../../../components/urgency/urgency.js';

interface SiteWorkProps {
  site: { key: string; name: string };
  /** Key of the unit that the reader is at. */
  unit: string;
  most: number;
  /** Left out where the place has a heading already; then it says, too, that there is nothing. */
  heading?: 'h2';
}

/** What else is due at the same site, so that one journey serves all. */
export function SiteWork({ site, unit, most, heading }: SiteWorkProps) {
  const { data } = useInfiniteQuery(roundQuery({ site: site.key }));
  const others = (data?.pages.flatMap(({ units }) => units) ?? []).filter(
    (row) => row.site.key === site.key && row.unit.key !== unit && row.urgency !== 'watch',
  );
  if (others.length === 0)
    return heading || !data ? null : <p className="quiet">Nothing else is due there.</p>;
  return (
    <div className="site-work">
      {heading && <h2>Also due at {site.name}</h2>}
      <ul>
        {others.slice(0, most).map((row) => (
          <li key={row.unit.key}>
            <Link to="/units/$site/$unit" params={{ site: site.key, unit: row.unit.key }}>
              {row.unit.name}
            </Link>{' '}
            <em>({urgencyWords[row.urgency]})</em>: <Say statement={row.findings[0].headline} />
          </li>
        ))}
        {others.length > most && <li>and {others.length - most} more</li>}
      </ul>
    </div>
  );
}
