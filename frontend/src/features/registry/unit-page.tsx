import './registry.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useParams } from '@tanstack/react-router';
import { useState } from 'react';
import {
  bringBackUnit,
  changeUnit,
  moveUnit,
  registeredSiteQuery,
  registeredSitesQuery,
  registeredUnitQuery,
  retireUnit,
  type RegisteredUnit,
  type SiteDraft,
} from '../../api/registry/registry.js';
import { PageTitle } from '../../components/page-title.js';
import { Failed, Loading } from '../../components/states.js';
import { ZoneProvider, useTimes } from '../../components/zone.js';
import { FormError } from '../../components/form-error.js';
import { Field } from '../people/field.js';
import { useAllAnew, useMay } from '../people/use-session.js';
import { ChangeList } from './change-list.js';
import { BecauseFields, becauseOf, type BecauseValues } from './forms/because-fields.js';
import { UnitForm } from './forms/unit-form.js';
import { useSaving } from './forms/use-saving.js';
import { MissingFacts } from './missing-facts.js';
import { MovePart } from './move-part.js';
import { SparkplugSection } from './sparkplug/sparkplug-section.js';

/** One unit in the registry: changed, moved, retired, and how it came to be as it is. */
export function RegisteredUnitPage() {
  const path = useParams({ from: '/registry/$site/units/$unit' });
  const site = useQuery(registeredSiteQuery(path.site));
  const unit = useQuery(registeredUnitQuery(path));
  if (site.isPending || unit.isPending)
    return (
      <>
        <h1 className="hidden-visually">
          Unit {path.unit} of {path.site}
        </h1>
        <Loading what="the unit" />
      </>
    );
  if (unit.isError) return <Failed what="the unit" error={unit.error} retry={() => void unit.refetch()} />;
  if (site.isError) return <Failed what="the site" error={site.error} retry={() => void site.refetch()} />;
  return (
    <ZoneProvider value={site.data.draft.timeZone}>
      <Unit key={`${path.site}/${path.unit}`} site={site.data.draft} unit={unit.data} />
    </ZoneProvider>
  );
}

function Unit({ site, unit }: { site: SiteDraft; unit: RegisteredUnit }) {
  const { draft, version, retiredAt, missing, changes } = unit;
  const path = { site: site.key, unit: draft.key };
  const may = useMay('register');
  const times = useTimes();
  const allAnew = useAllAnew();
  const [open, setOpen] = useState(false);
  return (
    <>
      <PageTitle>{`${draft.name} – Registry – Coldrounds`}</PageTitle>
      <p>
        <Link to="/registry/$site" params={{ site: site.key }}>
          {site.name}
        </Link>
      </p>
      <h1>{draft.name}</h1>
      <p className="registry-lead">
        {draft.refrigerant}; {draft.condenser}-cooled; topics{' '}
        <code>
          coldrounds/1/{site.key}/{draft.key}/…
        </code>
        {retiredAt === null ? (
          <>
            .{' '}
            <Link to="/units/$site/$unit" params={path}>
              Its evidence
            </Link>
          </>
        ) : (
          `. Retired ${times.day(Date.parse(retiredAt) / 1000)}: what it sends is not stored.`
        )}
      </p>
      <MissingFacts missing={missing} />
      {may && retiredAt === null && (
        <section className="registry-section">
          {open ? (
            <>
              <h2>Change the unit</h2>
              <UnitForm
                key={version}
                site={site}
                before={draft}
                save={async (wanted, because) => {
                  await changeUnit(path, wanted, version, because);
                  await allAnew();
                  setOpen(false);
                }}
              />
            </>
          ) : (
            <button type="button" className="button" onClick={() => setOpen(true)}>
              Change the unit
            </button>
          )}
        </section>
      )}
      {retiredAt === null && <SparkplugSection path={path} />}
      {may && (
        <section className="registry-section">
          <h2>{retiredAt === null ? 'Move or retire' : 'Bring back'}</h2>
          {retiredAt === null && <Move site={site} unit={unit} />}
          {retiredAt === null && <MovePart site={site} unit={unit} />}
          <InService path={path} retired={retiredAt !== null} />
        </section>
      )}
      <section className="registry-section">
        <h2>How it was changed</h2>
        <ChangeList changes={changes} />
      </section>
    </>
  );
}

function InService({ path, retired }: { path: { site: string; unit: string }; retired: boolean }) {
  const [reason, setReason] = useState('');
  const { saving, trouble, save } = useSaving();
  const allAnew = useAllAnew();
  const change = async () => {
    await (retired ? bringBackUnit : retireUnit)(path, reason);
    setReason('');
    await allAnew();
  };
  return (
    <form
      className="form"
      onSubmit={(event) => {
        event.preventDefault();
        void save(change);
      }}
    >
      <Field
        label={retired ? 'Reason to bring it back' : 'Reason to retire it'}
        hint={
          retired
            ? 'It is judged again from its next readings on.'
            : 'It leaves the round; its readings and findings are kept.'
        }
        value={reason}
        onChange={setReason}
      />
      <FormError why={trouble} />
      <button type="submit" className="button" disabled={saving}>
        {retired ? 'Bring the unit back' : 'Retire the unit'}
      </button>
    </form>
  );
}

function Move({ site, unit }: { site: SiteDraft; unit: RegisteredUnit }) {
  const [opened, setOpened] = useState(false);
  const sites = useQuery({ ...registeredSitesQuery, enabled: opened });
  const [to, setTo] = useState(site.key);
  const [key, setKey] = useState(unit.draft.key);
  const [because, setBecause] = useState<BecauseValues>({ reason: '', since: '', day: '' });
  const { saving, trouble, setTrouble, save } = useSaving();
  const allAnew = useAllAnew();
  const navigate = useNavigate();
  const submit = async () => {
    const said = becauseOf(because, site.timeZone);
    if (typeof said === 'string') return setTrouble(said);
    await save(async () => {
      await moveUnit({ site: site.key, unit: unit.draft.key }, { site: to, key }, said);
      await navigate({ to: '/registry/$site/units/$unit', params: { site: to, unit: key } });
      await allAnew();
    });
  };
  return (
    <details onToggle={({ currentTarget }) => setOpened(currentTarget.open)}>
      <summary>Move it to another site, or name it otherwise in topics</summary>
      <form
        className="form registry-form"
        onSubmit={(event) => {
          event.preventDefault();
          void submit();
        }}
      >
        <div className="form-row">
          <label className="field">
            Site
            <select value={to} onChange={({ target }) => setTo(target.value)}>
              {(sites.data?.sites ?? [{ draft: site }]).map(({ draft }) => (
                <option key={draft.key} value={draft.key}>
                  {draft.name}
                </option>
              ))}
            </select>
          </label>
          <Field label="Name in topics" value={key} onChange={setKey} />
        </div>
        <BecauseFields values={because} change={(some) => setBecause((old) => ({ ...old, ...some }))} />
        <FormError why={trouble} />
        <button type="submit" className="button" disabled={saving}>
          Move the unit
        </button>
      </form>
    </details>
  );
}
