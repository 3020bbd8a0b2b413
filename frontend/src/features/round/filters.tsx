import { useNavigate } from '@tanstack/react-router';
import { useState } from 'react';
import type { Round, Urgency } from '../../api/types.js';
import { urgencies, urgencyWords } from '../../components/urgency/urgency.js';
import { inputTime } from '../../quantities/site-time.js';
import { changed, groupings, orders, type Grouping, type Order, type RoundSearch } from './round-search.js';

/** Units by urgency, under the names of the urgencies. */
export const byUrgency = (counts: Round['found']): Record<Urgency, number> => ({
  today: counts.today,
  'this-week': counts.thisWeek,
  'next-visit': counts.nextVisit,
  watch: counts.watch,
});

const groupWords: Record<Grouping, string> = {
  urgency: 'in urgencies',
  site: 'in sites',
  region: 'in regions',
};

/** What of the round is shown, and how; all of it stands in the address. */
export function Filters({ round, search }: { round: Round; search: RoundSearch }) {
  const navigate = useNavigate({ from: '/' });
  const set = (change: Partial<RoundSearch>) =>
    void navigate({ search: (old) => changed(old, change), replace: true });
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
          {round.sites.map(({ key, name }) => (
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
      <Arrangement search={search} set={set} />
      <button
        type="button"
        className="button small"
        aria-pressed={search.view === 'reading'}
        onClick={() => set({ view: search.view === 'reading' ? undefined : 'reading' })}
      >
        reading view
      </button>
      <AsOf at={search.at} choose={(at) => set({ at })} />
    </search>
  );
}

interface AsOfProps {
  at: string | undefined;
  choose: (at: string | undefined) => void;
}

/** The moment that the round stands for: now, or an earlier one, asked for where somebody wants it. */
function AsOf({ at, choose }: AsOfProps) {
  const [asked, setAsked] = useState(false);
  if (at === undefined && !asked)
    return (
      <button type="button" className="button small" onClick={() => setAsked(true)}>
        as of now
      </button>
    );
  return (
    <span className="filters-at">
      <label>
        as of{' '}
        <input
          type="datetime-local"
          autoFocus={asked}
          value={at ? inputTime(Date.parse(at)) : ''}
          max={inputTime(Date.now())}
          onChange={({ target }) => choose(target.value ? new Date(target.value).toISOString() : undefined)}
        />
      </label>
      <button
        type="button"
        className="button small"
        onClick={() => {
          setAsked(false);
          choose(undefined);
        }}
      >
        now
      </button>
    </span>
  );
}

interface ArrangementProps {
  search: RoundSearch;
  set: (change: Partial<RoundSearch>) => void;
}

/** In which order, and in which groups. */
function Arrangement({ search, set }: ArrangementProps) {
  return (
    <>
      <label>
        <span className="hidden-visually">Ordered</span>
        <select
          value={search.sort ?? ''}
          onChange={(event) => set({ sort: (event.target.value || undefined) as Order | undefined })}
        >
          <option value="">by urgency</option>
          {Object.entries(orders).map(([order, words]) => (
            <option key={order} value={order}>
              {words}
            </option>
          ))}
        </select>
      </label>
      {search.at === undefined && (
        <label>
          <span className="hidden-visually">Grouped</span>
          <select
            value={search.group ?? ''}
            onChange={(event) => set({ group: groupings.find((each) => each === event.target.value) })}
          >
            <option value="">not grouped</option>
            {groupings.map((each) => (
              <option key={each} value={each}>
                {groupWords[each]}
              </option>
            ))}
          </select>
        </label>
      )}
    </>
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
