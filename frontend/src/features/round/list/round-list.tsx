import './round-list.css';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { lazy, memo, Suspense, useCallback, useEffect, useState } from 'react';
import type { RoundUnit } from '../../../api/types.js';
import { SmallEvidence } from '../../../components/picture/evidence-picture.js';
import { SiteProvider } from '../../../components/site.js';
import { probabilityWords, problemsOf } from '../../../components/problem/problems.js';
import { Say } from '../../../components/say.js';
import { UrgencyWord } from '../../../components/urgency/urgency.js';
import { count, formatDuration } from '../../../quantities/format-quantity.js';
import { WhoHasIt } from '../../decisions/who-has-it.js';

// The lines are read first.
const RoundAnswer = lazy(async () => ({ default: (await import('./round-answer.js')).RoundAnswer }));

interface RoundListProps {
  rows: RoundUnit[];
  /** The moment that the round stands for, ms. */
  asOf: number;
}

const keyOf = ({ site, unit }: RoundUnit) => `${site.key}/${unit.key}`;

/** One or two lines a unit, and the answer of the chosen one beside them; on a narrow window beneath its line. */
export function RoundList({ rows, asOf }: RoundListProps) {
  const { unit: asked } = useSearch({ from: '/' });
  const beside = rows.find((row) => keyOf(row) === asked) ?? rows[0];
  const [drawn, setDrawn] = useState(false);
  useEffect(() => setDrawn(true), []);
  return (
    <div className="lines-and-answer">
      <Lines rows={rows} asOf={asOf} beside={beside} />
      <aside className="answer-beside" aria-label="Answer of the chosen unit">
        {drawn && (
          <Suspense fallback={null}>
            <RoundAnswer row={beside} />
          </Suspense>
        )}
      </aside>
    </div>
  );
}

interface LinesProps extends RoundListProps {
  /** Whose answer stands beside the list; left out: none does, and answers open beneath their lines. */
  beside?: RoundUnit;
  /** All lines are of one site, which is named over them. */
  ofSite?: boolean;
}

/** The lines themselves; the answer that was asked for opens beneath its line where none stands beside the list. */
export function Lines({ rows, asOf, beside, ofSite = false }: LinesProps) {
  const { unit: asked } = useSearch({ from: '/' });
  const navigate = useNavigate({ from: '/' });
  const choose = useCallback(
    (unit: string | undefined) =>
      void navigate({ search: (old) => ({ ...old, unit }), replace: true, resetScroll: false }),
    [navigate],
  );
  return (
    <ol className={beside === undefined ? 'lines lines-alone' : 'lines'}>
      {rows.map((row) => (
        <Line
          key={keyOf(row)}
          row={row}
          asOf={asOf}
          beside={row === beside}
          beneath={keyOf(row) === asked}
          follow={beside !== undefined}
          ofSite={ofSite}
          choose={choose}
        />
      ))}
    </ol>
  );
}

/** Whether the answer stands beside the list, where it may follow the focus; beneath a line it opens by its button. */
const standsBeside = () => window.matchMedia('(min-width: 80rem)').matches;

interface LineProps {
  row: RoundUnit;
  asOf: number;
  beside: boolean;
  beneath: boolean;
  /** An answer stands beside the list and follows the focus. */
  follow: boolean;
  ofSite: boolean;
  choose: (unit: string | undefined) => void;
}

/** Drawn anew only where it changed: a choice concerns two lines of hundreds. */
const Line = memo(function Line({ row, asOf, beside, beneath, follow, ofSite, choose }: LineProps) {
  const [problem, ...others] = problemsOf(row);
  const { lead } = problem;
  const params = { site: row.site.key, unit: row.unit.key };
  const key = keyOf(row);
  return (
    <SiteProvider site={row.site}>
      <li className={`row line urgency-${row.urgency} ${beside ? 'line-chosen' : ''}`}>
        <div className="row-margin">
          <span className="row-rank">{row.rank}</span>
        </div>
        <p className="row-place">
          {row.unit.name}
          {!ofSite && (
            <>
              , <span className="line-site">{row.site.name}</span>
            </>
          )}
        </p>
        <div className="line-claim">
          <h2>
            <Link
              to="/units/$site/$unit"
              params={params}
              data-row
              onFocus={() => follow && standsBeside() && choose(key)}
            >
              <Say statement={problem.headline} />
            </Link>
          </h2>
          <p className="line-also">
            <UrgencyWord urgency={row.urgency} /> {probabilityWords(problem) ?? problem.certainty}
            {others.length > 0 && ` (${count(others.length, 'more problem')})`}
            {lead !== null && <WhoHasIt findingId={lead.id} />}
            {lead !== null && lead.headline !== problem.headline && (
              <>
                {': '}
                <Say statement={lead.headline} />
              </>
            )}
          </p>
        </div>
        {lead === null ? <span /> : <SmallEvidence findingId={lead.id} />}
        <p className="line-since">
          {row.since !== null && <b>{formatDuration(Math.max(0, (asOf - Date.parse(row.since)) / 1000))}</b>}
          <LastReading at={row.lastReading} asOf={asOf} />
          <button
            type="button"
            className="line-open"
            aria-expanded={beneath}
            onClick={() => choose(beneath ? undefined : key)}
          >
            answer<span className="hidden-visually"> of {row.unit.name}</span>
          </button>
        </p>
        {beneath && (
          <div className="answer-beneath">
            <Suspense fallback={null}>
              <RoundAnswer row={row} />
            </Suspense>
          </div>
        )}
      </li>
    </SiteProvider>
  );
});

function LastReading({ at, asOf }: { at: string | null; asOf: number }) {
  if (at === null) return <span className="row-stale">never sent</span>;
  const age_s = (asOf - Date.parse(at)) / 1000;
  return age_s < 900 ? null : <span className="row-stale">silent {formatDuration(age_s)}</span>;
}
