import './round-list.css';
import { useInfiniteQuery, useQuery } from '@tanstack/react-query';
import { useRef, useState } from 'react';
import { portfolioQuery, roundQuery } from '../../../api/queries.js';
import type { PortfolioRow, Urgency } from '../../../api/types.js';
import { useSeen } from '../../../components/picture/use-seen.js';
import { Failed, Loading, TooLittle } from '../../../components/states.js';
import { UrgencyBar } from '../../../components/urgency/urgency-bar.js';
import { count } from '../../../quantities/format-quantity.js';
import { ReadingRows } from '../round-row.js';
import type { RoundSearch } from '../round-search.js';
import { Lines } from './round-list.js';

type By = 'site' | 'region';
type Asked = Pick<RoundSearch, 'site' | 'region' | 'urgency' | 'q' | 'view' | 'sort'>;

const unitsOf: Record<Urgency, (row: PortfolioRow) => number> = {
  today: ({ byUrgency }) => byUrgency.today,
  'this-week': ({ byUrgency }) => byUrgency.thisWeek,
  'next-visit': ({ byUrgency }) => byUrgency.nextVisit,
  watch: ({ byUrgency }) => byUrgency.watch,
};

/** Sites or regions that are read at once; those of one site or region are picked from as many as one may ask for. */
const onePage = 20;
const mostAtOnce = 500;
/** Units of each that are shown at first: a journey is chosen by the most urgent of them. */
const firstShown = 5;

/** Units on the round that a group holds, of the urgency asked for. */
export const groupSize = (row: PortfolioRow, urgency: Urgency | undefined): number =>
  urgency === undefined ? row.units - row.byUrgency.quiet : unitsOf[urgency](row);

/** The round by sites or regions, the most urgent first: what one journey can put right stands together. */
export function PlaceGroups({ by, asked }: { by: By; asked: Asked }) {
  const [pages, setPages] = useState(1);
  return (
    <>
      {Array.from({ length: pages }, (_, index) => (
        <GroupsOfPage
          key={index}
          by={by}
          asked={asked}
          page={index + 1}
          more={index + 1 === pages ? () => setPages(pages + 1) : undefined}
        />
      ))}
    </>
  );
}

interface GroupsOfPageProps {
  by: By;
  asked: Asked;
  page: number;
  more: (() => void) | undefined;
}

function GroupsOfPage({ by, asked, page, more }: GroupsOfPageProps) {
  const limit = asked.site === undefined && asked.region === undefined ? onePage : mostAtOnce;
  const places = useQuery(portfolioQuery({ by, sort: 'urgency', descending: false, page, limit }));
  if (places.isPending) return <Loading what={`the ${by}s`} />;
  if (places.isError)
    return <Failed what={`the ${by}s`} error={places.error} retry={() => void places.refetch()} />;
  const shown = places.data.rows.filter(
    (row) =>
      groupSize(row, asked.urgency) > 0 &&
      (by === 'region'
        ? asked.region === undefined || asked.region === row.key
        : (asked.site === undefined || asked.site === row.key) &&
          (asked.region === undefined || asked.region === row.region)),
  );
  return (
    <>
      {shown.map((row) => (
        <PlaceGroup key={row.key} by={by} row={row} asked={asked} />
      ))}
      {shown.length === 0 && page === places.data.pages && page === 1 && (
        <TooLittle>No unit on the round matches this filter.</TooLittle>
      )}
      {more && page < places.data.pages && (
        <p className="round-more">
          <button type="button" className="button" onClick={more}>
            Show more {by}s
          </button>
        </p>
      )}
    </>
  );
}

function PlaceGroup({ by, row, asked }: { by: By; row: PortfolioRow; asked: Asked }) {
  const box = useRef<HTMLElement>(null);
  const seen = useSeen(box, 600);
  const place = by === 'site' ? { site: row.key } : { region: row.key, site: asked.site };
  const round = useInfiniteQuery({
    ...roundQuery({ ...place, urgency: asked.urgency, q: asked.q, sort: asked.sort }),
    enabled: seen,
  });
  const known = round.data?.pages.flatMap(({ units }) => units) ?? [];
  const [all, setAll] = useState(false);
  const rows = all ? known : known.slice(0, firstShown);
  // With words asked for, a place may hold nothing of them.
  if (round.isSuccess && rows.length === 0) return null;
  const asOf = Date.parse(round.data?.pages[0].asOf ?? '');
  const size = groupSize(row, asked.urgency);
  const id = `place-${by}-${row.key.replaceAll(' ', '-')}`;
  return (
    <section ref={box} className="place-group" aria-labelledby={id}>
      <div className="place-group-head">
        <h2 id={id}>
          {row.name} <span className="quiet small">{count(size, 'unit')} on the round</span>
        </h2>
        <UrgencyBar counts={row.byUrgency} />
      </div>
      {round.isError ? (
        <Failed what={row.name} error={round.error} retry={() => void round.refetch()} />
      ) : rows.length === 0 ? (
        // Its room is kept until it has come.
        <div style={{ minHeight: `${Math.min(size, firstShown) * 3.5}rem` }} />
      ) : asked.view === 'reading' ? (
        <ReadingRows rows={rows} asOf={asOf} />
      ) : (
        <Lines rows={rows} asOf={asOf} ofSite={by === 'site'} />
      )}
      {(known.length > rows.length || round.hasNextPage) && (
        <p className="round-more">
          <button
            type="button"
            className="button small"
            disabled={round.isFetchingNextPage}
            onClick={() => {
              if (all || known.length <= firstShown) void round.fetchNextPage();
              setAll(true);
            }}
          >
            Show more units of {row.name}
          </button>
        </p>
      )}
    </section>
  );
}
