import './round.css';
import { useInfiniteQuery } from '@tanstack/react-query';
import { useNavigate, useSearch } from '@tanstack/react-router';
import { format } from 'date-fns';
import { useDeferredValue, useMemo } from 'react';
import type { Round, RoundUnit, Urgency } from '../../api/types.js';
import { roundQuery } from '../../api/queries.js';
import { MomentProvider } from '../../components/moment.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { urgencies, UrgencyWord, urgencyWords } from '../../components/urgency.js';
import { count } from '../../quantities/format-quantity.js';
import { SinceThen } from '../changes/since-then.js';
import { RoundList } from './list/round-list.js';
import { QuietUnits } from './quiet-units.js';
import { RoundRow } from './round-row.js';
import { useArrowKeys } from './use-arrow-keys.js';

export interface RoundSearch {
  site?: string;
  region?: string;
  urgency?: Urgency;
  q?: string;
  /** Left out: the dense list. */
  view?: 'reading';
  /** `{site}/{unit}`: whose answer stands beside the list. */
  unit?: string;
  /** ISO instant: the round as it stood then. */
  at?: string;
}

export function readRoundSearch(search: Record<string, unknown>): RoundSearch {
  const text = (value: unknown) => (typeof value === 'string' && value !== '' ? value : undefined);
  const urgency = text(search.urgency);
  return {
    site: text(search.site),
    region: text(search.region),
    urgency: urgencies.find((entry) => entry === urgency),
    q: text(search.q),
    view: search.view === 'reading' ? 'reading' : undefined,
    unit: text(search.unit),
    at: Number.isNaN(Date.parse(String(search.at))) ? undefined : text(search.at),
  };
}

export function RoundPage() {
  const search = useSearch({ from: '/' });
  const q = useDeferredValue(search.q);
  const round = useInfiniteQuery(
    roundQuery({ at: search.at, site: search.site, region: search.region, urgency: search.urgency, q }),
  );
  const list = useArrowKeys<HTMLDivElement>();

  if (round.isPending)
    return (
      <>
        <h1 className="hidden-visually">The round</h1>
        <Loading what="the round" />
      </>
    );
  if (round.isError)
    return <Failed what="the round" error={round.error} retry={() => void round.refetch()} />;
  const [data] = round.data.pages;
  const shown = round.data.pages.flatMap(({ units }) => units);
  const reading = search.view === 'reading';
  const filtered = [search.site, search.region, search.urgency, search.q].some((each) => each !== undefined);
  if (!data.known) return <NotKnown round={data} search={search} />;
  return (
    <MomentProvider value={search.at}>
      <title>The round – Coldrounds</title>
      <Lead round={data} past={search.at !== undefined} />
      <Filters round={data} search={search} />
      {shown.length > 0 ? (
        <div className={reading ? 'round' : 'round-dense'} ref={list}>
          {reading ? (
            urgencies.map((urgency) => (
              <Group
                key={urgency}
                urgency={urgency}
                rows={shown.filter((row) => row.urgency === urgency)}
                units={byUrgency(data.found)[urgency]}
                asOf={Date.parse(data.asOf)}
              />
            ))
          ) : (
            <RoundList rows={shown} asOf={Date.parse(data.asOf)} />
          )}
        </div>
      ) : filtered ? (
        <TooLittle>No unit on the round matches this filter.</TooLittle>
      ) : data.counts.units === 0 ? (
        <TooLittle>The registry holds no units yet. Add one, then let its gateway publish.</TooLittle>
      ) : data.settled ? (
        <TooLittle>No unit needs attention. Units without findings are listed below.</TooLittle>
      ) : (
        <TooLittle>Nothing found so far. History is still being judged.</TooLittle>
      )}
      <QuietUnits quiet={round.data.pages.flatMap(({ quiet }) => quiet)} />
      {round.hasNextPage && (
        <p className="round-more">
          <button
            type="button"
            className="button"
            disabled={round.isFetchingNextPage}
            onClick={() => void round.fetchNextPage()}
          >
            {round.isFetchingNextPage ? 'Loading …' : 'Show more units'}
          </button>
        </p>
      )}
    </MomentProvider>
  );
}

/** Of a moment before judging began nothing can be told, least of all that nothing was wrong. */
function NotKnown({ round, search }: { round: Round; search: RoundSearch }) {
  const at = (instant: string) => format(new Date(instant), 'EEEE d MMMM yyyy, HH:mm');
  return (
    <>
      <title>The round – Coldrounds</title>
      <header className="lead">
        <p className="lead-date">
          The round on <time dateTime={round.asOf}>{at(round.asOf)}</time>
        </p>
        <h1>Nothing is known of that time.</h1>
        <p className="lead-text">
          {round.judgingSince === null
            ? 'Nothing has been judged yet.'
            : `Judging began on ${at(round.judgingSince)}. What the units were like before is not known here.`}
        </p>
      </header>
      <Filters round={round} search={search} />
    </>
  );
}

const byUrgency = (counts: Round['found']): Record<Urgency, number> => ({
  today: counts.today,
  'this-week': counts.thisWeek,
  'next-visit': counts.nextVisit,
  watch: counts.watch,
});

const groupWords: Record<Urgency, string> = {
  today: 'someone should act before the day is over',
  'this-week': 'plan a visit or a remote change within days',
  'next-visit': 'when someone is there anyway',
  watch: 'nothing to do yet',
};

interface GroupProps {
  urgency: Urgency;
  /** Those shown so far. */
  rows: RoundUnit[];
  /** How many units there are of this urgency. */
  units: number;
  asOf: number;
}

function Group({ urgency, rows, units, asOf }: GroupProps) {
  if (rows.length === 0) return null;
  return (
    <section aria-labelledby={`group-${urgency}`}>
      <h2 className={`round-group urgency-${urgency}`} id={`group-${urgency}`}>
        <UrgencyWord urgency={urgency} />{' '}
        <span className="quiet">
          {count(units, 'unit')}: {groupWords[urgency]}
        </span>
      </h2>
      <ol start={rows[0].rank}>
        {rows.map((row) => (
          <RoundRow key={`${row.site.key}/${row.unit.key}`} row={row} asOf={asOf} />
        ))}
      </ol>
    </section>
  );
}

/** The round's state in one or two sentences, before any list. */
function Lead({ round, past }: { round: Round; past: boolean }) {
  const { counts } = round;
  const waiting = counts.thisWeek + counts.nextVisit;
  return (
    <header className="lead">
      <p className="lead-date">
        {past ? 'The round as it was known on' : 'The round as of'}{' '}
        <time dateTime={round.asOf}>{format(new Date(round.asOf), 'EEEE d MMMM yyyy, HH:mm')}</time>
      </p>
      <h1>
        {counts.today === 0
          ? 'No unit needs action today.'
          : `${count(counts.today, 'unit needs', 'units need')} action today.`}
      </h1>
      <p className="lead-text">
        {!past && <SinceThen />}
        {waiting > 0 && (
          <>
            {[
              counts.thisWeek > 0 ? `${counts.thisWeek} this week` : '',
              counts.nextVisit > 0 ? `${counts.nextVisit} can wait for the next visit` : '',
            ]
              .filter(Boolean)
              .join(', ')}
            {'; '}
          </>
        )}
        {counts.watch} to watch, {counts.quiet} without findings. Monitored: {count(counts.units, 'unit')},{' '}
        {count(counts.circuits, 'circuit')}, {count(counts.modules, 'backup module')}
        {counts.silent > 0 && `; ${count(counts.silent, 'unit sends', 'units send')} no data`}.
      </p>
    </header>
  );
}

function Filters({ round, search }: { round: Round; search: RoundSearch }) {
  const navigate = useNavigate({ from: '/' });
  const set = (change: Partial<RoundSearch>) =>
    void navigate({ search: (old) => ({ ...old, ...change }), replace: true });
  const sites = useMemo(() => [...round.sites].sort((a, b) => a.name.localeCompare(b.name)), [round.sites]);
  return (
    <search className="filters">
      <UrgencyFilter counts={round.found} chosen={search.urgency} choose={(urgency) => set({ urgency })} />
      <label>
        <span className="hidden-visually">Site</span>
        <select
          value={search.site ?? ''}
          onChange={(event) => set({ site: event.target.value || undefined })}
        >
          <option value="">all sites</option>
          {sites.map(({ key, name }) => (
            <option key={key} value={key}>
              {name}
            </option>
          ))}
        </select>
      </label>
      {search.region !== undefined && (
        <button type="button" className="button small" onClick={() => set({ region: undefined })}>
          region {search.region} <span aria-hidden="true">×</span>
          <span className="hidden-visually">: show all regions</span>
        </button>
      )}
      <label className="filters-words">
        <span className="hidden-visually">Words in unit, site or finding</span>
        <input
          type="search"
          placeholder="Unit, site or word"
          defaultValue={search.q ?? ''}
          onChange={(event) => set({ q: event.target.value || undefined })}
        />
      </label>
      <button
        type="button"
        className="button small"
        aria-pressed={search.view === 'reading'}
        onClick={() => set({ view: search.view === 'reading' ? undefined : 'reading' })}
      >
        reading view
      </button>
      <label className="filters-at">
        as of{' '}
        <input
          type="datetime-local"
          value={search.at ? format(new Date(search.at), "yyyy-MM-dd'T'HH:mm") : ''}
          max={format(new Date(), "yyyy-MM-dd'T'HH:mm")}
          onChange={(event) =>
            set({ at: event.target.value ? new Date(event.target.value).toISOString() : undefined })
          }
        />
        {search.at && (
          <button type="button" className="button small" onClick={() => set({ at: undefined })}>
            now
          </button>
        )}
      </label>
    </search>
  );
}

interface UrgencyFilterProps {
  counts: Round['found'];
  chosen: Urgency | undefined;
  choose: (urgency: Urgency | undefined) => void;
}

function UrgencyFilter({ counts, chosen, choose }: UrgencyFilterProps) {
  const numbers = byUrgency(counts);
  return (
    <div className="filters-urgency" role="group" aria-label="Urgency">
      <button
        type="button"
        className="button small"
        aria-pressed={chosen === undefined}
        onClick={() => choose(undefined)}
      >
        all
      </button>
      {urgencies.map((urgency) => (
        <button
          key={urgency}
          type="button"
          className="button small"
          aria-pressed={chosen === urgency}
          onClick={() => choose(chosen === urgency ? undefined : urgency)}
        >
          {urgencyWords[urgency]} <span className="filters-count">{numbers[urgency]}</span>
        </button>
      ))}
    </div>
  );
}
