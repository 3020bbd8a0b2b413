import { Link } from '@tanstack/react-router';
import type { Finding, RoundUnit, Urgency } from '../../api/types.js';
import { SiteProvider, useUnits } from '../../components/site.js';
import { WhoHasIt } from '../decisions/who-has-it.js';
import { SmallEvidence } from '../../components/picture/evidence-picture.js';
import { Say } from '../../components/say.js';
import { certaintyWords, urgencies, urgencyWords } from '../../components/urgency.js';
import { formatDuration, show } from '../../quantities/format-quantity.js';
import { subjectWords } from '../../quantities/subject-words.js';

/** Reasons shown on the round; the unit page has all of them. */
const reasonsShown = 2;

/** `asOf` is the moment that the round stands for, ms. */
export function RoundRow({ row, asOf }: { row: RoundUnit; asOf: number }) {
  const units = useUnits();
  const [first, ...others] = row.findings;
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
              <Say statement={first.headline} />
            </Link>
          </h3>
          <Why finding={first} />
          <WhoHasIt findingId={first.id} />
          <p>
            <span className="row-label">If it waits</span> <Say statement={row.waiting.sentence} />{' '}
            <LastReading at={row.lastReading} asOf={asOf} />
          </p>
          {others.length > 0 && <Others findings={others} />}
        </article>
        <div className="row-evidence">
          <SmallEvidence findingId={first.id} />
        </div>
      </li>
    </SiteProvider>
  );
}

function Why({ finding }: { finding: Finding }) {
  const likeliest = finding.explanations[0];
  return (
    <p>
      {finding.reasons.slice(0, reasonsShown).map((reason, index) => (
        <span key={index}>
          <Say statement={reason} />{' '}
        </span>
      ))}
      <span className="row-label">How sure</span> {certaintyWords[finding.certainty]}{' '}
      {likeliest && (
        <>
          Most likely cause: {likeliest.cause}
          {finding.explanations.length > 1 && ` (${Math.round(likeliest.weight * 100)} %)`}.{' '}
        </>
      )}
      <span className="quiet">
        ({subjectWords(finding.subject)}
        {finding.lastSeen_s > finding.firstSeen_s &&
          `, seen over ${formatDuration(finding.lastSeen_s - finding.firstSeen_s)}`}
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

function Others({ findings }: { findings: Finding[] }) {
  return (
    <details className="row-others">
      <summary>
        {findings.length === 1 ? 'One more finding' : `${findings.length} more findings`}:{' '}
        {countWords(findings)}
      </summary>
      <ul>
        {findings.map((finding) => (
          <li key={finding.id}>
            <span className="row-label">{urgencyWords[finding.urgency]}</span>{' '}
            <Say statement={finding.headline} />{' '}
            <span className="quiet">({subjectWords(finding.subject)})</span>
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
