import { useInfiniteQuery, useQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { nearbyQuery, roundQuery } from '../../../api/queries.js';
import { problemsOf } from '../../../components/problem/problems.js';
import { Say } from '../../../components/say.js';
import { useUnits } from '../../../components/site.js';
import { urgencyWords } from '../../../components/urgency/urgency.js';
import { show } from '../../../quantities/format-quantity.js';
import { dueWords } from './due-words.js';

interface SiteWorkProps {
  site: { key: string; name: string };
  /** Key of the unit that the reader is at. */
  unit: string;
  most: number;
  mostNearby: number;
  /** Left out where the place has a heading already; then it says, too, that there is nothing. */
  heading?: 'h2';
}

/** What else is due at the same site, and at sites near by, so that one journey serves all. */
export function SiteWork({ site, unit, most, mostNearby, heading }: SiteWorkProps) {
  const units = useUnits();
  const { data } = useInfiniteQuery(roundQuery({ site: site.key }));
  const { data: nearby } = useQuery(nearbyQuery(site.key));
  const others = (data?.pages.flatMap((page) => page.units) ?? []).filter(
    (row) => row.site.key === site.key && row.unit.key !== unit && row.urgency !== 'watch',
  );
  const near = nearby?.sites.slice(0, mostNearby) ?? [];
  if (others.length + near.length === 0)
    return heading || !data ? null : <p className="quiet">Nothing else is due there or near by.</p>;
  return (
    <div className="site-work">
      {heading && <h2>Also due at {others.length === 0 ? 'sites near by' : site.name}</h2>}
      <ul>
        {others.slice(0, most).map((row) => (
          <li key={row.unit.key}>
            <Link to="/units/$site/$unit" params={{ site: site.key, unit: row.unit.key }}>
              {row.unit.name}
            </Link>{' '}
            <em>({urgencyWords[row.urgency]})</em>: <Say statement={problemsOf(row)[0].headline} />
          </li>
        ))}
        {others.length > most && <li>and {others.length - most} more</li>}
        {near.map(({ key, name, distance_m, byUrgency }) => (
          <li key={key}>
            Near by:{' '}
            <Link to="/" search={{ site: key }}>
              {name}
            </Link>
            , {show(distance_m, 'distance', units)} away: {dueWords(byUrgency)}
          </li>
        ))}
      </ul>
    </div>
  );
}
