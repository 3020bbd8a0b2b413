import './round.css';
import { useInfiniteQuery } from '@tanstack/react-query';
import { useSearch } from '@tanstack/react-router';
import { useDeferredValue } from 'react';
import type { Round, RoundUnit, Urgency } from '../../api/types.js';
import { roundQuery } from '../../api/queries.js';
import { FirstUnit } from '../../components/first-unit.js';
import { MomentProvider } from '../../components/moment.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { urgencies, UrgencyWord } from '../../components/urgency/urgency.js';
import { count } from '../../quantities/format-quantity.js';
import { byUrgency, Filters } from './filters.js';
import { Lead, NotKnown } from './lead.js';
import { PlaceGroups } from './list/place-groups.js';
import { Lines, RoundList } from './list/round-list.js';
import { More } from './more.js';
import { QuietUnits } from './quiet-units.js';
import { RoundRow } from './round-row.js';
import { useArrowKeys } from './use-arrow-keys.js';

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
  // A place's part of the round is read by itself; of the past it is not known which places there were.
  const by = search.at !== undefined || search.group === 'urgency' ? null : (search.group ?? null);
  const filtered = [search.site, search.region, search.urgency, search.q].some((each) => each !== undefined);
  return (
    <MomentProvider value={search.at}>
      <title>The round – Coldrounds</title>
      {data.known ? <Lead round={data} past={search.at !== undefined} /> : <NotKnown round={data} />}
      <Filters round={data} search={search} />
      {by !== null ? (
        <div className={reading ? 'round' : 'round-dense'} ref={list}>
          <PlaceGroups by={by} asked={{ ...search, q }} />
        </div>
      ) : shown.length > 0 ? (
        <div className={reading ? 'round' : 'round-dense'} ref={list}>
          {reading || search.group === 'urgency' ? (
            urgencies.map((urgency) => (
              <Group
                key={urgency}
                urgency={urgency}
                reading={reading}
                rows={shown.filter((row) => row.urgency === urgency)}
                units={byUrgency(data.found)[urgency]}
                asOf={Date.parse(data.asOf)}
              />
            ))
          ) : (
            <RoundList rows={shown} asOf={Date.parse(data.asOf)} />
          )}
        </div>
      ) : (
        data.known && <NothingShown round={data} filtered={filtered} />
      )}
      {by === null && <QuietUnits quiet={round.data.pages.flatMap(({ quiet }) => quiet)} />}
      {by === null && round.hasNextPage && (
        <More
          words="Show more units"
          loading={round.isFetchingNextPage}
          load={() => void round.fetchNextPage()}
        />
      )}
    </MomentProvider>
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
        <ol start={rows[0].rank}>
          {rows.map((row) => (
            <RoundRow key={`${row.site.key}/${row.unit.key}`} row={row} asOf={asOf} />
          ))}
        </ol>
      ) : (
        <Lines rows={rows} asOf={asOf} />
      )}
    </section>
  );
}
