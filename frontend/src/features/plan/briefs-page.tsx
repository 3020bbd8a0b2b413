import './plan.css';
import { useQueries, useQuery } from '@tanstack/react-query';
import { Link, useSearch } from '@tanstack/react-router';
import { unitQuery } from '../../api/queries.js';
import { dayPlanQuery, type DayPlan } from '../../api/decisions/plan.js';
import { PageTitle } from '../../components/page-title.js';
import { SiteProvider } from '../../components/site.js';
import { Failed, Loading } from '../../components/states.js';
import { count } from '../../quantities/format-quantity.js';
import { Brief } from '../brief/brief-page.js';
import { lastDayOf } from './plan-search.js';

/** The visit briefs of all units on a plan, each on a sheet of its own, in the order of the plan. */
export function BriefsPage() {
  const search = useSearch({ from: '/plan/briefs' });
  const plan = useQuery(dayPlanQuery(search.person, lastDayOf(search.span)));
  return (
    <>
      <PageTitle>Visit briefs – Coldrounds</PageTitle>
      <p className="brief-tools no-print">
        <Link to="/plan" search={search}>
          Back to the plan
        </Link>
        <button type="button" className="button" onClick={() => window.print()}>
          Print
        </button>
        <span className="quiet small">One unit on each sheet of A4 or Letter.</span>
      </p>
      {plan.isPending ? (
        <Loading what="the plan" />
      ) : plan.isError ? (
        <Failed what="the plan" error={plan.error} retry={() => void plan.refetch()} />
      ) : (
        <Briefs plan={plan.data} />
      )}
    </>
  );
}

function Briefs({ plan }: { plan: DayPlan }) {
  const paths = plan.sites.flatMap(({ site, units }) =>
    units.map(({ unit }) => ({ site: site.key, unit: unit.key })),
  );
  const units = useQueries({ queries: paths.map((path) => unitQuery(path)) });
  return (
    <>
      <h1 className="no-print">
        {paths.length === 0
          ? `${plan.person.name} has nothing due.`
          : `${count(paths.length, 'visit brief')} for ${plan.person.name}`}
      </h1>
      <div className="briefs">
        {units.map(({ data, error }, index) =>
          data ? (
            <SiteProvider key={`${paths[index].site}/${paths[index].unit}`} site={data.site}>
              <Brief detail={data} />
            </SiteProvider>
          ) : error ? (
            <Failed key={index} what={`the unit ${paths[index].unit}`} error={error} />
          ) : (
            <Loading key={index} what={`the unit ${paths[index].unit}`} />
          ),
        )}
      </div>
    </>
  );
}
