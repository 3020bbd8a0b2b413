import './data-health.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { fleetHealthQuery, type HealthOrder, type UnitDataHealth } from '../../api/registry/data-health.js';
import { PageTitle } from '../../components/page-title.js';
import { FirstUnit } from '../../components/first-unit.js';
import { Failed, Loading } from '../../components/states.js';
import { PagedTable, type PagedColumn } from '../../components/table/paged-table.js';
import { count } from '../../quantities/format-quantity.js';
import { choiceOf, type HealthSearch } from './health-search.js';
import {
  heardWords,
  cameWords,
  clockWords,
  healthHeadline,
  latenessWords,
  repeatWords,
  shareWords,
} from './health-words.js';

const columns = (asOf: string | null): PagedColumn<UnitDataHealth, HealthOrder>[] => [
  {
    id: 'name',
    head: 'Unit',
    order: 'name',
    cell: (row) => (
      <>
        <Link to="/units/$site/$unit" params={row} className="health-name">
          {row.name}
        </Link>
        <br />
        <Link to="/data/$site" params={{ site: row.site }} className="small health-name">
          {row.siteName}
        </Link>
      </>
    ),
  },
  {
    id: 'came',
    head: 'Samples of 24 h',
    order: 'worst',
    cell: (row) => (
      <>
        <span className={row.lost > 0.01 ? 'health-bad' : undefined}>{cameWords({ ...row, asOf })}</span>
        {row.catchingUp && (
          <>
            <br />
            <span className="quiet small">a backlog is coming in</span>
          </>
        )}
      </>
    ),
  },
  {
    id: 'last',
    head: 'Last message',
    order: 'last',
    cell: (row) =>
      row.lastMessage === null ? (
        <span className="quiet">{heardWords(row, asOf)}</span>
      ) : (
        heardWords(row, asOf)
      ),
  },
  { id: 'lateness', head: 'Late', order: 'lateness', cell: latenessWords },
  { id: 'clock', head: 'Clock', order: 'clock', cell: ({ clock }) => clockWords(clock) },
  { id: 'repeats', head: 'Came twice', order: 'repeats', cell: repeatWords },
];

/** Whose telemetry comes, how late and how much of it: every unit of the fleet, the worst first. */
export function FleetHealthPage() {
  const search = useSearch({ from: '/data' });
  const navigate = useNavigate({ from: '/data' });
  const choice = choiceOf(search);
  const health = useQuery(fleetHealthQuery(choice));
  const set = (change: HealthSearch) =>
    void navigate({ search: (old) => ({ ...old, page: undefined, ...change }), replace: true });
  return (
    <>
      <PageTitle>Data health – Coldrounds</PageTitle>
      <h1>Data health</h1>
      {health.isPending ? (
        <Loading what="the state of the data" />
      ) : health.isError ? (
        <Failed what="the state of the data" error={health.error} retry={() => void health.refetch()} />
      ) : health.data.totals.units === 0 && choice.q === undefined ? (
        <NothingYet asOf={health.data.asOf} />
      ) : (
        <>
          <p className="health-lead">
            <strong>{healthHeadline(health.data.totals)}</strong> {totalWords(health.data.totals)} Lateness is
            arrival less the time of the sample. Messages that could not be read are under{' '}
            <Link to="/unread">Unread messages</Link>, senders that are not registered under{' '}
            <Link to="/registry/heard">Heard but not known</Link>.
          </p>
          <p className="health-tools">
            <label>
              <span className="hidden-visually">Search words</span>
              <input
                type="search"
                placeholder="Unit or site"
                defaultValue={choice.q ?? ''}
                onChange={(event) => set({ q: event.target.value || undefined })}
              />
            </label>
            <span className="quiet">{count(health.data.totals.units, 'unit')}</span>
          </p>
          <div className="health-table">
            <PagedTable
              rows={health.data.units}
              columns={columns(health.data.asOf)}
              ordering={choice}
              order={({ sort, descending }) =>
                set({ sort: sort === 'worst' ? undefined : sort, descending: descending || undefined })
              }
              page={health.data.page}
              pages={health.data.pages}
              turnTo={(page) => set({ page })}
              label="Units by the state of their data"
              rowKey={(row) => `${row.site}/${row.unit}`}
            />
          </div>
        </>
      )}
    </>
  );
}

function NothingYet({ asOf }: { asOf: string | null }) {
  return (
    <>
      {asOf === null && (
        <p className="health-lead">
          For each unit: when it was last heard, how much of its telemetry came, how late, and what that
          leaves unjudged.
        </p>
      )}
      <FirstUnit />
    </>
  );
}

function totalWords({
  expected,
  missing,
  steps,
  repeats,
}: {
  expected: number;
  missing: number;
  steps: number;
  repeats: number;
}): string {
  const came =
    expected > 0 ? `${shareWords(1 - missing / expected)} of the samples expected in the last day came.` : '';
  const twice = repeats > 0 && steps > 0 ? `${shareWords(repeats / steps)} of what came was a repeat.` : '';
  return [came, twice].filter((words) => words !== '').join(' ');
}
