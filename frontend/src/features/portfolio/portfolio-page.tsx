import './portfolio.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useDeferredValue, useMemo } from 'react';
import type { Portfolio, PortfolioRow } from '../../api/types.js';
import { portfolioQuery, type PortfolioOrder } from '../../api/queries.js';
import { PageTitle } from '../../components/page-title.js';
import { PagedTable, type PagedColumn } from '../../components/table/paged-table.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { UrgencyBar } from '../../components/urgency/urgency-bar.js';
import { count } from '../../quantities/format-quantity.js';
import { timeWords } from '../../quantities/site-time.js';
import { givenAwayWords } from '../energy/energy-words.js';
import { FleetEnergySentence } from '../energy/fleet-energy.js';
import type { PortfolioSearch } from './portfolio-search.js';
import { changeWords, healthWords, portfolioHeadline, provenWords } from './portfolio-words.js';

const columns = (by: 'site' | 'region'): PagedColumn<PortfolioRow, PortfolioOrder>[] => [
  {
    id: 'name',
    head: by === 'site' ? 'Site' : 'Region',
    order: 'name',
    cell: (row) => (
      <>
        <Link
          to="/"
          search={by === 'site' ? { site: row.key } : { region: row.key }}
          className="portfolio-name"
        >
          {row.name}
        </Link>
        <br />
        <span className="quiet small">{by === 'site' ? row.region : count(row.sites, 'site')}</span>
        {by === 'site' && (
          <>
            {row.region === null ? '' : ' '}
            <Link to="/sites/$site/report" params={{ site: row.key }} className="portfolio-report small">
              Report<span className="hidden-visually"> on {row.name}</span>
            </Link>
          </>
        )}
      </>
    ),
  },
  {
    id: 'urgency',
    head: 'Units by urgency',
    order: 'urgency',
    cell: (row) => (
      <div className="portfolio-bar">
        <UrgencyBar counts={row.byUrgency} />
      </div>
    ),
  },
  { id: 'units', head: 'Units', number: true, order: 'units', cell: (row) => row.units },
  {
    id: 'change',
    head: 'Asking for someone, over 90 days',
    order: 'change',
    cell: (row) => (
      <span className={(row.change ?? 0) > 0 ? 'portfolio-worse' : 'quiet'}>{changeWords(row)}</span>
    ),
  },
  {
    id: 'proven',
    head: 'Closings proven',
    number: true,
    order: 'proven',
    cell: provenWords,
  },
  {
    id: 'energy',
    head: 'Energy given away',
    order: 'energy',
    cell: ({ givenAway_J_week, givenAwayCost_week }) =>
      givenAway_J_week === null ? (
        <span className="quiet">none told</span>
      ) : (
        givenAwayWords(givenAway_J_week, givenAwayCost_week)
      ),
  },
  {
    id: 'health',
    head: 'Data',
    order: 'health',
    cell: (row) => (by === 'site' ? <DataLink row={row} /> : healthWords(row)),
  },
];

const DataLink = ({ row }: { row: PortfolioRow }) => (
  <Link to="/data/$site" params={{ site: row.key }} aria-label={`${healthWords(row)}: data of ${row.name}`}>
    {healthWords(row)}
  </Link>
);

/** Rows of one page. */
const onePage = 50;

/** Every site or region in a line: what is urgent, what changed, what is proven, and whether the data can be trusted. */
export function PortfolioPage() {
  const search = useSearch({ from: '/portfolio' });
  const navigate = useNavigate({ from: '/portfolio' });
  const by = search.by ?? 'site';
  const q = useDeferredValue(search.q);
  const choice = {
    by,
    sort: search.sort ?? 'urgency',
    descending: search.descending ?? false,
    q,
    page: search.page ?? 1,
    limit: onePage,
  } as const;
  const portfolio = useQuery(portfolioQuery(choice));
  const shown = useMemo(() => columns(by), [by]);
  const set = (change: PortfolioSearch) =>
    void navigate({ search: (old) => ({ ...old, page: undefined, ...change }), replace: true });
  return (
    <>
      <PageTitle>Portfolio – Coldrounds</PageTitle>
      {portfolio.isPending ? (
        <>
          <h1>Portfolio</h1>
          <Loading what="the portfolio" />
        </>
      ) : portfolio.isError ? (
        <>
          <h1>Portfolio</h1>
          <Failed what="the portfolio" error={portfolio.error} retry={() => void portfolio.refetch()} />
        </>
      ) : (
        <>
          <Lead portfolio={portfolio.data} />
          <div className="portfolio-tools" role="group" aria-label="A row for each">
            <span className="quiet">A row for each</span>
            {(['site', 'region'] as const).map((each) => (
              <button
                key={each}
                type="button"
                className="button small"
                aria-pressed={by === each}
                onClick={() => set({ by: each === 'region' ? each : undefined })}
              >
                {each}
              </button>
            ))}
            <Find portfolio={portfolio.data} words={search.q} find={(words) => set({ q: words })} />
          </div>
          {portfolio.data.places === 0 ? (
            <TooLittle>The registry holds no units yet.</TooLittle>
          ) : portfolio.data.rows.length === 0 ? (
            <TooLittle>No {by} has these words.</TooLittle>
          ) : (
            <div className="portfolio">
              <PagedTable
                rows={portfolio.data.rows}
                columns={shown}
                ordering={choice}
                order={({ sort, descending }) =>
                  set({ sort: sort === 'urgency' ? undefined : sort, descending: descending || undefined })
                }
                page={portfolio.data.page}
                pages={portfolio.data.pages}
                turnTo={(page) => set({ page })}
                label={by === 'site' ? 'Sites' : 'Regions'}
                rowKey={(row) => row.key}
              />
            </div>
          )}
        </>
      )}
    </>
  );
}

interface FindProps {
  portfolio: Portfolio;
  words: string | undefined;
  find: (words: string | undefined) => void;
}

/** Of many rows, those that are looked for. */
function Find({ portfolio: { by, places, total }, words, find }: FindProps) {
  if (places <= onePage) return null;
  return (
    <>
      <label className="portfolio-find">
        <span className="hidden-visually">Words in {by} or region</span>
        <input
          type="search"
          placeholder={by === 'site' ? 'Site or region' : 'Region'}
          defaultValue={words ?? ''}
          onChange={({ target }) => find(target.value || undefined)}
        />
      </label>
      {words !== undefined && <span className="quiet">{count(total, by)} found</span>}
    </>
  );
}

function Lead({ portfolio }: { portfolio: Portfolio }) {
  const { units, places, by, judgingSince, change } = portfolio;
  const day = (at: string) => timeWords(Date.parse(at), null, 'day');
  return (
    <header className="lead">
      <h1>{portfolioHeadline(portfolio)}</h1>
      <p className="lead-text">
        {count(units, 'unit')} at {count(places, by)}. A unit is worse where it newly asks for someone or asks
        sooner than 30 days ago.
        {judgingSince !== null &&
          !change.known &&
          ` Judging began on ${day(judgingSince)}: the change over 90 days is not known yet.`}{' '}
        <FleetEnergySentence />
      </p>
    </header>
  );
}
