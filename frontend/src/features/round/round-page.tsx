import './round.css';
import { useInfiniteQuery } from '@tanstack/react-query';
import { Link, useSearch } from '@tanstack/react-router';
import { lazy, Suspense, useDeferredValue, type ReactNode } from 'react';
import type { Round, RoundUnit, Urgency } from '../../api/types.js';
import { roundQuery } from '../../api/queries.js';
import { PageTitle } from '../../components/page-title.js';
import { FirstUnit } from '../../components/first-unit.js';
import { MomentProvider } from '../../components/moment.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { urgencies, UrgencyWord } from '../../components/urgency/urgency.js';
import { count } from '../../quantities/format-quantity.js';
import { byUrgency, Filters } from './filters.js';
import { Lead, NotKnown } from './lead.js';
import { Lines, RoundList } from './list/round-list.js';
import { More } from './more.js';
import { QuietUnits } from './quiet-units.js';
import { changed, type RoundSearch } from './round-search.js';
import { useArrowKeys } from './use-arrow-keys.js';

// Besides the dense list, what is shown at a choice comes with that choice.
const PlaceGroups = lazy(async () => ({ default: (await import('./list/place-groups.js')).PlaceGroups }));
const ReadingRows = lazy(async () => ({ default: (await import('./round-row.js')).ReadingRows }));

function Chosen({ children }: { children: ReactNode }) {
  return <Suspense fallback={<Loading what="the round" />}>{children}</Suspense>;
}

export function RoundPage() {
  const search = useSearch({ from: '/' });
  const q = useDeferredValue(search.q);
  const { at, site, region, urgency, sort, from } = search;
  const round = useInfiniteQuery(roundQuery({ at, site, region, urgency, q, sort, from }));
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
  // A place's part of the round is read by itself; of the past it is not known which places there were.
  const by = at !== undefined || search.group === 'urgency' ? null : (search.group ?? null);
  // Another order than that of urgency is one list.
  const byUrgencies = sort === undefined && (reading || search.group === 'urgency');
  const filtered = [site, region, urgency, search.q].some((each) => each !== undefined);
  const asOf = Date.parse(data.asOf);
  return (
    <MomentProvider value={at}>
      <PageTitle>The round – Coldrounds</PageTitle>
      {data.known ? <Lead round={data} past={at !== undefined} /> : <NotKnown round={data} />}
      <Filters round={data} search={search} />
      {from !== undefined && (
        <p className="round-back">
          <Link to="/" search={changed(search, {})}>
            Back to the first units
          </Link>
        </p>
      )}
      {by !== null ? (
        <div className={reading ? 'round' : 'round-dense'} ref={list}>
          <Chosen>
            <PlaceGroups by={by} asked={{ ...search, q }} />
          </Chosen>
        </div>
      ) : shown.length > 0 ? (
        <div className={reading ? 'round' : 'round-dense'} ref={list}>
          {byUrgencies ? (
            urgencies.map((each) => (
              <Group
                key={each}
                urgency={each}
                reading={reading}
                rows={shown.filter((row) => row.urgency === each)}
                units={byUrgency(data.found)[each]}
                asOf={asOf}
              />
            ))
          ) : reading ? (
            <Chosen>
              <ReadingRows rows={shown} asOf={asOf} />
            </Chosen>
          ) : (
            <RoundList rows={shown} asOf={asOf} />
          )}
        </div>
      ) : (
        data.known && <NothingShown round={data} filtered={filtered} />
      )}
      {by === null && <QuietUnits quiet={round.data.pages.flatMap(({ quiet }) => quiet)} />}
      {by === null && round.hasNextPage && (
        <Further
          full={round.data.pages.length >= mostPages}
          loading={round.isFetchingNextPage}
          load={() => void round.fetchNextPage()}
          next={changed(search, { from: round.data.pages.at(-1)?.next ?? undefined })}
          rank={(shown.at(-1)?.rank ?? 0) + 1}
        />
      )}
    </MomentProvider>
  );
}

/** What one list holds at most: beyond it the next begins, so that ten thousand units are no slower than ten. */
const mostPages = 6;

interface FurtherProps {
  /** This list holds as much as one may. */
  full: boolean;
  loading: boolean;
  load: () => void;
  /** Where the next list begins, and with which rank. */
  next: RoundSearch;
  rank: number;
}

function Further({ full, loading, load, next, rank }: FurtherProps) {
  if (!full) return <More words="Show more units" loading={loading} load={load} />;
  return (
    <p className="round-more">
      <Link to="/" search={next} className="button">
        Go on from rank {rank}
      </Link>
    </p>
  );
}

function NothingShown({ round, filtered }: { round: Round; filtered: boolean }) {
  if (!filtered && round.counts.units === 0) return <FirstUnit />;
  return (
    <TooLittle>
      {filtered
        ? 'No unit on the round matches this filter.'
        : round.settled
          ? 'No unit needs attention. Units without findings are listed below.'
          : 'Nothing found so far. History is still being judged.'}
    </TooLittle>
  );
}

const groupWords: Record<Urgency, string> = {
  today: 'someone should act before the day is over',
  'this-week': 'plan a visit or a remote change within days',
  'next-visit': 'when someone is there anyway',
  watch: 'nothing to do yet',
};

interface GroupProps {
  urgency: Urgency;
  reading: boolean;
  /** Those shown so far. */
  rows: RoundUnit[];
  /** How many units there are of this urgency. */
  units: number;
  asOf: number;
}

function Group({ urgency, reading, rows, units, asOf }: GroupProps) {
  if (rows.length === 0) return null;
  return (
    <section aria-labelledby={`group-${urgency}`}>
      <h2 className={`round-group urgency-${urgency}`} id={`group-${urgency}`}>
        <UrgencyWord urgency={urgency} />{' '}
        <span className="quiet">
          {count(units, 'unit')}: {groupWords[urgency]}
        </span>
      </h2>
      {reading ? (
        <Chosen>
          <ReadingRows rows={rows} asOf={asOf} />
        </Chosen>
      ) : (
        <Lines rows={rows} asOf={asOf} />
      )}
    </section>
  );
}
