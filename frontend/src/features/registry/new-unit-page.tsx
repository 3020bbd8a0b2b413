import './registry.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useParams, useSearch } from '@tanstack/react-router';
import { addUnit, heardQuery, registeredSiteQuery } from '../../api/registry/registry.js';
import { PageTitle } from '../../components/page-title.js';
import { Failed, Loading } from '../../components/states.js';
import { count } from '../../quantities/format-quantity.js';
import { useAllAnew } from '../people/use-session.js';
import { valuesHeard } from './values/heard-values.js';
import { UnitForm } from './forms/unit-form.js';

/** A new unit of a site. */
export function NewUnitPage() {
  const { site: key } = useParams({ from: '/registry/$site/new-unit' });
  const { heard } = useSearch({ from: '/registry/$site/new-unit' });
  const site = useQuery(registeredSiteQuery(key));
  const sender = useQuery({ ...heardQuery, enabled: heard !== undefined });
  const allAnew = useAllAnew();
  const navigate = useNavigate();
  const told = sender.data?.units.find((unit) => unit.site === key && unit.unit === heard);
  if (site.isPending || (heard !== undefined && sender.isPending))
    return (
      <>
        <h1 className="hidden-visually">A new unit</h1>
        <Loading what="the site" />
      </>
    );
  if (site.isError) return <Failed what="the site" error={site.error} retry={() => void site.refetch()} />;
  const { draft } = site.data;
  return (
    <>
      <PageTitle>{`New unit – ${draft.name} – Coldrounds`}</PageTitle>
      <p>
        <Link to="/registry/$site" params={{ site: key }}>
          {draft.name}
        </Link>
      </p>
      <h1>A new unit</h1>
      <p className="registry-lead">
        What the nameplate says is enough to begin. Leave a field empty where its value is not known; it can
        be added at any time, and the past is then judged by it.
      </p>
      {told !== undefined && (
        <p className="registry-lead">
          Filled in from what it sends: its name, {count(told.told.circuits.length, 'circuit')}
          {told.told.gauge && ', gauge pressure (a pressure below zero came)'}
          {told.told.modules.length > 0 &&
            `. It also sends of ${count(told.told.modules.length, 'backup module')}: add it with the figures of its nameplate, now or later`}
          .
        </p>
      )}
      <UnitForm
        site={draft}
        before={null}
        start={told === undefined ? undefined : valuesHeard(told)}
        save={async (unit, because) => {
          const made = await addUnit(key, unit, because);
          await allAnew();
          await navigate({
            to: '/registry/$site/units/$unit',
            params: { site: key, unit: made.draft.key },
          });
        }}
      />
    </>
  );
}
