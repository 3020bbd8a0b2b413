import './data-health.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useParams, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { siteHealthQuery, type SiteDataHealth } from '../../api/registry/data-health.js';
import { PageTitle } from '../../components/page-title.js';
import { Pager } from '../../components/table/pager.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { SiteProvider } from '../../components/site.js';
import { useTimes } from '../../components/zone.js';
import { GapDays, Legend } from './calendar-strip.js';
import { choiceOf } from './health-search.js';
import {
  broughtHistory,
  cameWords,
  clockWords,
  healthHeadline,
  latenessWords,
  repeatWords,
} from './health-words.js';
import { UnitHealth } from './unit-health.js';

/** The data of one site: a calendar of gaps for each unit, and what is behind them. */
export function SiteHealthPage() {
  const { site } = useParams({ from: '/data/$site' });
  const search = useSearch({ from: '/data/$site' });
  const health = useQuery(siteHealthQuery(site, choiceOf(search)));
  if (health.isPending)
    return (
      <>
        <h1 className="hidden-visually">Data health of {site}</h1>
        <Loading what="the state of the site’s data" />
      </>
    );
  if (health.isError)
    return (
      <Failed what="the state of the site’s data" error={health.error} retry={() => void health.refetch()} />
    );
  return (
    <SiteProvider site={health.data.site}>
      <SiteSheet health={health.data} />
    </SiteProvider>
  );
}

function SiteSheet({ health }: { health: SiteDataHealth }) {
  const { site, totals, units, page, pages, countedSince } = health;
  const times = useTimes();
  const navigate = useNavigate({ from: '/data/$site' });
  const turn = (to: number) =>
    void navigate({ search: (old) => ({ ...old, page: to === 1 ? undefined : to }), replace: true });
  return (
    <>
      <PageTitle>{`${site.name} – Data health – Coldrounds`}</PageTitle>
      <p>
        <Link to="/data">Data health</Link>
      </p>
      <h1>{site.name}: data health</h1>
      <p className="health-lead">
        <strong>{healthHeadline(totals)}</strong>{' '}
        {countedSince !== null &&
          `What comes is counted since ${times.day(Date.parse(countedSince) / 1000)}.`}{' '}
        The worst unit comes first.
      </p>
      {units.length === 0 ? (
        <TooLittle>
          No unit of this site has been looked at yet.{' '}
          <Link to="/registry/$site" params={{ site: site.key }}>
            Its units in the registry
          </Link>
        </TooLittle>
      ) : (
        <>
          <figure className="gap-figure">
            <Legend />
          </figure>
          {units.map((unit) => (
            <UnitOfSite key={unit.unit} unit={unit} health={health} />
          ))}
        </>
      )}
      <Pager page={page} pages={pages} turnTo={turn} label="Units" />
    </>
  );
}

function UnitOfSite({ unit, health }: { unit: SiteDataHealth['units'][number]; health: SiteDataHealth }) {
  const { site, calendarFrom, countedSince, asOf } = health;
  const [opened, setOpened] = useState(false);
  const times = useTimes();
  const instant = (at: string | null, none: string) =>
    at === null ? none : times.instant(Date.parse(at) / 1000);
  return (
    <section className="health-unit" aria-labelledby={`data-${unit.unit}`}>
      <h2 id={`data-${unit.unit}`}>
        <Link to="/units/$site/$unit" params={{ site: site.key, unit: unit.unit }}>
          {unit.name}
        </Link>
      </h2>
      <dl className="health-facts">
        <Fact name="Samples of 24 h">{cameWords({ ...unit, asOf })}</Fact>
        <Fact name="Last message">
          {instant(unit.lastMessage, 'none counted yet')}
          {broughtHistory(unit) &&
            `, with history: its newest sample is of ${instant(unit.newestReading, '')}`}
        </Fact>
        <Fact name="Late">{latenessWords(unit)}</Fact>
        <Fact name="Clock">{clockWords(unit.clock)}</Fact>
        <Fact name="Came twice">{repeatWords(unit)}</Fact>
        {unit.catchingUp && (
          <Fact name="Backlog coming in">has come until {instant(unit.historyUntil, 'an unknown time')}</Fact>
        )}
      </dl>
      <GapDays calendar={unit.calendar} from={calendarFrom} countedSince={countedSince} />
      <details onToggle={(event) => setOpened(event.currentTarget.open)}>
        <summary>
          Hours, signals, and what cannot be judged<span className="hidden-visually"> of {unit.name}</span>
        </summary>
        {opened && <UnitHealth path={{ site: site.key, unit: unit.unit }} />}
      </details>
    </section>
  );
}

function Fact({ name, children }: { name: string; children: React.ReactNode }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}
