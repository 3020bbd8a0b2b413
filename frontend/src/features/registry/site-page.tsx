import './registry.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import { changeSite, registeredSiteQuery, type RegisteredSite } from '../../api/registry/registry.js';
import { PageTitle } from '../../components/page-title.js';
import { Failed, Loading } from '../../components/states.js';
import { ZoneProvider, useTimes } from '../../components/zone.js';
import { useUnits } from '../../components/site.js';
import { count, show } from '../../quantities/format-quantity.js';
import { useAllAnew, useMay } from '../people/use-session.js';
import { ChangeList } from './change-list.js';
import { SiteForm } from './forms/site-form.js';
import { MissingFacts } from './missing-facts.js';

/** One site in the registry: its units, its figures, how it was changed. */
export function RegisteredSitePage() {
  const { site: key } = useParams({ from: '/registry/$site' });
  const site = useQuery({ ...registeredSiteQuery(key), refetchInterval: 30_000 });
  if (site.isPending)
    return (
      <>
        <h1 className="hidden-visually">Site {key}</h1>
        <Loading what="the site" />
      </>
    );
  if (site.isError) return <Failed what="the site" error={site.error} retry={() => void site.refetch()} />;
  return (
    <ZoneProvider value={site.data.draft.timeZone}>
      <Site key={key} site={site.data} />
    </ZoneProvider>
  );
}

function Site({ site }: { site: RegisteredSite }) {
  const { draft, registered, missing, convertingCircuits, changes } = site;
  const may = useMay('register');
  const units = useUnits();
  const inService = registered.filter(({ retiredAt }) => retiredAt === null);
  return (
    <>
      <PageTitle>{`${draft.name} – Registry – Coldrounds`}</PageTitle>
      <p>
        <Link to="/registry">Registry</Link>
      </p>
      <h1>{draft.name}</h1>
      <p className="registry-lead">
        In topics <code>{draft.key}</code>; {count(inService.length, 'unit')};{' '}
        {draft.altitude_m === null
          ? 'height not known'
          : `${show(draft.altitude_m, 'height', units)} above the sea`}
        ; time zone {draft.timeZone.replaceAll('_', ' ')}.
      </p>
      {convertingCircuits > 0 && (
        <p className="notice" role="status">
          Stored readings of {count(convertingCircuits, 'circuit')} are being converted by what was corrected;
          then they are judged again.
        </p>
      )}
      <MissingFacts missing={missing} />
      <section className="registry-section">
        <h2>Units</h2>
        {registered.length === 0 ? (
          <p className="notice">No unit is registered at this site yet.</p>
        ) : (
          <Units site={draft.key} units={registered} />
        )}
        {may && (
          <p className="registry-tools">
            <Link className="button" to="/registry/$site/new-unit" params={{ site: draft.key }}>
              Add a unit
            </Link>
          </p>
        )}
      </section>
      <section className="registry-section">
        <h2>Gateways</h2>
        <p>
          <Link to="/registry/$site/gateways" params={{ site: draft.key }}>
            Keys of its gateways
          </Link>
          , and how they connect.
        </p>
      </section>
      {may && <EditSite site={site} />}
      <section className="registry-section">
        <h2>How it was changed</h2>
        <ChangeList changes={changes} />
      </section>
    </>
  );
}

function Units({ site, units }: { site: string; units: RegisteredSite['registered'] }) {
  const times = useTimes();
  return (
    <div className="scroll-x">
      <table>
        <thead>
          <tr>
            <th scope="col">Unit</th>
            <th scope="col">In topics</th>
            <th scope="col">Refrigerant</th>
            <th scope="col">Circuits</th>
            <th scope="col">Backup modules</th>
          </tr>
        </thead>
        <tbody>
          {units.map(({ key, name, refrigerant, circuits, modules, retiredAt }) => (
            <tr key={key}>
              <th scope="row">
                <Link to="/registry/$site/units/$unit" params={{ site, unit: key }}>
                  {name}
                </Link>
                {retiredAt !== null && (
                  <span className="quiet">, retired {times.day(Date.parse(retiredAt) / 1000)}</span>
                )}
              </th>
              <td>
                <code>{key}</code>
              </td>
              <td>{refrigerant}</td>
              <td>{circuits}</td>
              <td>{modules}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function EditSite({ site }: { site: RegisteredSite }) {
  const [open, setOpen] = useState(false);
  const allAnew = useAllAnew();
  if (!open)
    return (
      <button type="button" className="button" onClick={() => setOpen(true)}>
        Change the site
      </button>
    );
  return (
    <section className="registry-section">
      <h2>Change the site</h2>
      <SiteForm
        before={site.draft}
        save={async (draft, because) => {
          await changeSite(site.draft.key, draft, because);
          await allAnew();
          setOpen(false);
        }}
      />
    </section>
  );
}
