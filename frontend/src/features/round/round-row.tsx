import { Link, useSearch } from '@tanstack/react-router';
import type { RoundUnit, Urgency } from '../../api/types.js';
import { SiteProvider, useUnits } from '../../components/site.js';
import { WhoHasIt } from '../decisions/who-has-it.js';
import { EnergyLine } from '../energy/energy-line.js';
import { SmallEvidence } from '../../components/picture/evidence-picture.js';
import { howSure, likelihood, problemsOf, type Problem } from '../../components/problem/problems.js';
import { Say } from '../../components/say.js';
import { urgencies, urgencyWords } from '../../components/urgency/urgency.js';
import { formatDuration, show } from '../../quantities/format-quantity.js';
import { subjectWords } from '../../quantities/subject-words.js';

/** Reasons shown on the round; the unit page has all of them. */
const reasonsShown = 2;

/** The reading view: each unit in a few sentences. `asOf` is the moment that the round stands for, ms. */
export function ReadingRows({ rows, asOf }: { rows: RoundUnit[]; asOf: number }) {
  return (
    <ol start={rows[0]?.rank}>
      {rows.map((row) => (
        <RoundRow key={`${row.site.key}/${row.unit.key}`} row={row} asOf={asOf} />
      ))}
    </ol>
  );
}

function RoundRow({ row, asOf }: { row: RoundUnit; asOf: number }) {
  const units = useUnits();
  // What is given away is told of now only.
  const { at } = useSearch({ strict: false });
  const [problem, ...others] = problemsOf(row);
  const { lead } = problem;
  const params = { site: row.site.key, unit: row.unit.key };
  return (
    <SiteProvider site={row.site}>
      <li className={`row urgency-${row.urgency}`}>
        <div className="row-margin">
          <span className="row-rank">{row.rank}</span>
        </div>
        <article className="row-text">
          <p className="row-place">
            {row.unit.name}, {row.site.name}
            <span className="row-facts">
              {' '}
              {row.unit.refrigerant}, {show(row.unit.nominalCapacity_W, 'cooling-capacity', units)}
            </span>
            <Link to="/units/$site/$unit/brief" params={params} className="row-brief">
              Visit brief<span className="hidden-visually"> of {row.unit.name}</span>
            </Link>
          </p>
          <h3>
            <Link to="/units/$site/$unit" params={params} data-row>
              <Say statement={problem.headline} />
            </Link>
          </h3>
          <Why problem={problem} />
          {lead !== null && <WhoHasIt findingId={lead.id} />}
          <p>
            <span className="row-label">If it waits</span> <Say statement={problem.waiting.sentence} />{' '}
            {at === undefined && <EnergyLine {...params} />} <LastReading at={row.lastReading} asOf={asOf} />
          </p>
          {others.length > 0 && <Others problems={others} />}
        </article>
        <div className="row-evidence">{lead !== null && <SmallEvidence findingId={lead.id} />}</div>
      </li>
    </SiteProvider>
  );
}

function Why({ problem }: { problem: Problem }) {
  const { lead, causes, headline } = problem;
  const rival = problem.diagnosis !== null && !problem.unexplained ? causes[1] : undefined;
  const likeliest = rival === undefined && problem.diagnosis === null ? causes[0] : undefined;
  return (
    <p>
      {lead !== null && lead.headline !== headline && (
        <>
          <Say statement={lead.headline} />{' '}
        </>
      )}
      {(lead?.reasons ?? []).slice(0, reasonsShown).map((reason, index) => (
        <span key={index}>
          <Say statement={reason} />{' '}
        </span>
      ))}
      <span className="row-label">How sure</span> {`${howSure(problem)} `}
      {problem.unexplained && 'None of the known causes explains this well. '}
      {rival && `It could also be that ${rival.cause} (${likelihood(rival.weight)}). `}
      {likeliest && `Most likely cause: ${likeliest.cause} (${likelihood(likeliest.weight)}). `}
      <span className="quiet">
        ({subjectWords(problem.subject)}
        {lead !== null &&
          lead.lastSeen_s > lead.firstSeen_s &&
          `, seen over ${formatDuration(lead.lastSeen_s - lead.firstSeen_s)}`}
        )
      </span>
    </p>
  );
}

/** How many more of each urgency: what a reader needs in order to open them or not. */
export function countWords(findings: readonly { urgency: Urgency }[]): string {
  return urgencies
    .map((urgency) => ({
      urgency,
      number: findings.filter((finding) => finding.urgency === urgency).length,
    }))
    .filter(({ number }) => number > 0)
    .map(({ urgency, number }) => `${number} ${urgencyWords[urgency]}`)
    .join(', ');
}

function Others({ problems }: { problems: Problem[] }) {
  return (
    <details className="row-others">
      <summary>
        {problems.length === 1 ? 'One more problem' : `${problems.length} more problems`}:{' '}
        {countWords(problems)}
      </summary>
      <ul>
        {problems.map((problem) => (
          <li key={problem.key}>
            <span className="row-label">{urgencyWords[problem.urgency]}</span>{' '}
            <Say statement={problem.headline} />{' '}
            <span className="quiet">({subjectWords(problem.subject)})</span>
          </li>
        ))}
      </ul>
    </details>
  );
}

function LastReading({ at, asOf }: { at: string | null; asOf: number }) {
  if (at === null) return <span className="row-stale">It has never sent a reading.</span>;
  const age_s = (asOf - Date.parse(at)) / 1000;
  return age_s < 900 ? null : (
    <span className="row-stale">Its last reading is {formatDuration(age_s)} old.</span>
  );
}
