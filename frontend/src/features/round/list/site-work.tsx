import { useInfiniteQuery } from '@tanstack/react-query';
import { Link } from '@tanstack/react-router';
import { useRef } from 'react';
import { roundQuery } from '../../../api/queries.js';
import { useSeen } from '../../../components/picture/use-seen.js';
import { Say } from '../../../components/say.js';
import { urgencyWords } from '../../../components/urgency.js';

interface SiteWorkProps {
  site: { key: string; name: string };
  /** Key of the unit that the reader is at. */
  unit: string;
  most: number;
  /** Fetched at once, not only when it comes into view: a page that is printed. */
  atOnce?: boolean;
  heading: 'h2' | 'h3';
}

/** What else is due at the same site, so that one journey serves all. */
export function SiteWork({ site, unit, most, atOnce = false, heading: Heading }: SiteWorkProps) {
  const box = useRef<HTMLDivElement>(null);
  const seen = useSeen(box);
  const { data } = useInfiniteQuery({ ...roundQuery({ site: site.key }), enabled: seen || atOnce });
  const others = (data?.pages.flatMap(({ units }) => units) ?? []).filter(
    (row) => row.site.key === site.key && row.unit.key !== unit && row.urgency !== 'watch',
  );
  return (
    <div ref={box} className="site-work">
      {others.length > 0 && (
        <>
          <Heading>Also due at {site.name}</Heading>
          <ul className="brief-list">
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
        </>
      )}
    </div>
  );
}
