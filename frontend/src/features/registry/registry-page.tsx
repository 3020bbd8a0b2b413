import './registry.css';
import { useQuery, useQueryClient } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { addSite, registeredSitesQuery } from '../../api/registry/registry.js';
import { PageTitle } from '../../components/page-title.js';
import { Failed, Loading } from '../../components/states.js';
import { useMay } from '../people/use-session.js';
import { nameOf } from './values/heard-values.js';
import { SiteForm } from './forms/site-form.js';
import { SiteTable } from './site-table.js';

/** What is installed: all sites, and the way to add one. */
export function RegistryPage() {
  const sites = useQuery(registeredSitesQuery);
  const may = useMay('register');
  return (
    <>
      <PageTitle>Registry – Coldrounds</PageTitle>
      <h1>Registry</h1>
      <p className="registry-lead">
        What is installed where: refrigerant, valves, transducers, backup modules. Telemetry is judged by it.
        What is not known may be left open; each page says what that costs.{' '}
        <Link to="/registry/heard">Heard but not known</Link> lists what arrives from senders that are not
        registered. <Link to="/registry/table">A spreadsheet</Link> brings in a whole fleet.
      </p>
      {sites.isPending ? (
        <Loading what="the sites" />
      ) : sites.isError ? (
        <Failed what="the sites" error={sites.error} retry={() => void sites.refetch()} />
      ) : (
        <>
          {sites.data.sites.length === 0 ? (
            <p className="notice">
              No site is registered yet.{' '}
              {may
                ? 'Add the first one below: its name is enough. Then add its units.'
                : 'An engineer, a manager or an administrator can add the first.'}
            </p>
          ) : (
            <SiteTable sites={sites.data.sites} />
          )}
          {may && <AddSite first={sites.data.sites.length === 0} />}
        </>
      )}
    </>
  );
}

function AddSite({ first }: { first: boolean }) {
  const { heard } = useSearch({ from: '/registry' });
  const [site, unit] = heard?.split('/') ?? [];
  const [open, setOpen] = useState(first || site !== undefined);
  const queries = useQueryClient();
  const navigate = useNavigate();
  return (
    <section className="registry-section">
      {open ? (
        <>
          <h2>{first ? 'The first site' : 'A new site'}</h2>
          <SiteForm
            before={null}
            start={site === undefined ? undefined : { key: site, name: nameOf(site) }}
            save={async (draft, because) => {
              await addSite(draft, because);
              await queries.invalidateQueries({ queryKey: ['registry'] });
              if (unit === undefined) await navigate({ to: '/registry/$site', params: { site: draft.key } });
              else
                await navigate({
                  ...{ to: '/registry/$site/new-unit', params: { site: draft.key } },
                  search: { heard: unit },
                });
            }}
          />
        </>
      ) : (
        <button type="button" className="button" onClick={() => setOpen(true)}>
          Add a site
        </button>
      )}
    </section>
  );
}
