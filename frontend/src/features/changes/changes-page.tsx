import './changes.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { useState } from 'react';
import { changesQuery } from '../../api/queries.js';
import type { ChangedUnit, Changes, Urgency } from '../../api/types.js';
import { PageTitle } from '../../components/page-title.js';
import { SiteProvider } from '../../components/site.js';
import { Say } from '../../components/say.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { UrgencyWord, urgencyWords } from '../../components/urgency/urgency.js';
import { subjectWords } from '../../quantities/subject-words.js';
import { inputTime, timeWords } from '../../quantities/site-time.js';
import { changeCounts, kindsInOrder, kindWords } from './change-words.js';
import { lastLook } from './last-look.js';
import { sinceInstant, type Since } from './since.js';

const choices: [Since, string][] = [
  ['look', 'your last look'],
  ['yesterday', 'yesterday'],
  ['week', 'a week ago'],
];

/** The round of now against that of a moment: what is new, worse, better and gone. */
export function ChangesPage() {
  const { since = 'look', page = 1 } = useSearch({ from: '/changes' });
  const navigate = useNavigate({ from: '/changes' });
  const [opened] = useState(() => ({ look_ms: lastLook(Date.now()), now_ms: Date.now() }));
  const moment = sinceInstant(since, opened.look_ms, opened.now_ms);
  const changes = useQuery(changesQuery(moment, page));
  const choose = (next: string | undefined) => void navigate({ search: { since: next }, replace: true });
  return (
    <div className="changes">
      <PageTitle>What changed – Coldrounds</PageTitle>
      <p className="small">
        <Link to="/">The round</Link>
      </p>
      <h1>What changed</h1>
      <div className="changes-since">
        <span className="quiet">since</span>
        {choices.map(([value, words]) => (
          <button
            key={value}
            type="button"
            className="button small"
            aria-pressed={since === value}
            onClick={() => choose(value === 'look' ? undefined : value)}
          >
            {words}
          </button>
        ))}
        <label>
          <span className="hidden-visually">A date</span>
          <input
            type="datetime-local"
            value={inputTime(Date.parse(moment))}
            max={inputTime(opened.now_ms)}
            onChange={(event) => event.target.value && choose(new Date(event.target.value).toISOString())}
          />
        </label>
      </div>
      {changes.isPending ? (
        <Loading what="the changes" />
      ) : changes.isError ? (
        <Failed what="the changes" error={changes.error} retry={() => void changes.refetch()} />
      ) : (
        <Found
          changes={changes.data}
          turnTo={(next) => void navigate({ search: (old) => ({ ...old, page: next }) })}
        />
      )}
    </div>
  );
}

function Found({ changes, turnTo }: { changes: Changes; turnTo: (page: number) => void }) {
  const at = (instant: string) => timeWords(Date.parse(instant), null, 'full');
  return (
    <>
      <p className="lead-text">
        Since <time dateTime={changes.since}>{at(changes.since)}</time>: {changeCounts(changes.counts)}.
        {!changes.known &&
          (changes.judgingSince === null
            ? ' Nothing has been judged yet.'
            : ` Judging began only on ${at(changes.judgingSince)}: what was found since is all new.`)}
      </p>
      {changes.units.length === 0 && (
        <TooLittle>No unit asks for someone that did not, or asks for anyone sooner or later.</TooLittle>
      )}
      {kindsInOrder.map((kind) => {
        const units = changes.units.filter(({ change }) => change === kind);
        return units.length === 0 ? null : (
          <section key={kind} aria-labelledby={`change-${kind}`}>
            <h2 id={`change-${kind}`}>{kindWords[kind]}</h2>
            <ul className="changes-list">
              {units.map((each) => (
                <Changed key={`${each.site.key}/${each.unit.key}`} changed={each} />
              ))}
            </ul>
          </section>
        );
      })}
      {changes.pages > 1 && (
        <nav aria-label="Pages of the changes" className="round-more">
          <button
            type="button"
            className="button small"
            disabled={changes.page <= 1}
            onClick={() => turnTo(changes.page - 1)}
          >
            Previous
          </button>{' '}
          Page {changes.page} of {changes.pages}{' '}
          <button
            type="button"
            className="button small"
            disabled={changes.page >= changes.pages}
            onClick={() => turnTo(changes.page + 1)}
          >
            Next
          </button>
        </nav>
      )}
    </>
  );
}

/** Findings told of a unit; the rest is on its page. */
const mostFindings = 4;

const word = (urgency: Urgency | null) => (urgency === null ? 'nothing' : urgencyWords[urgency]);

function findingChange(before: Urgency | null, now: Urgency | null): string {
  if (before === null) return `new, ${word(now)}`;
  return now === null ? `ended, was ${word(before)}` : `${word(now)}, was ${word(before)}`;
}

function Changed({ changed: { site, unit, before, now, findings } }: { changed: ChangedUnit }) {
  return (
    <SiteProvider site={site}>
      <li className={now === null ? undefined : `urgency-${now}`}>
        <p>
          <Link to="/units/$site/$unit" params={{ site: site.key, unit: unit.key }}>
            {unit.name}, {site.name}
          </Link>
        </p>
        <p>
          <span className="quiet">from {word(before)} to</span>{' '}
          {now === null ? 'nothing' : <UrgencyWord urgency={now} />}
        </p>
        <ul>
          {findings.slice(0, mostFindings).map((finding) => (
            <li key={finding.id}>
              <Say statement={finding.headline} />{' '}
              <span className="quiet">
                ({subjectWords(finding.subject)}; {findingChange(finding.before, finding.now)})
              </span>
            </li>
          ))}
          {findings.length > mostFindings && (
            <li className="quiet">and {findings.length - mostFindings} more on the unit’s page</li>
          )}
        </ul>
      </li>
    </SiteProvider>
  );
}
