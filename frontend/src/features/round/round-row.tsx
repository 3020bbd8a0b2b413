import { Link } from '@tanstack/react-router';
import type { Finding, RoundUnit } from '../../api/types.js';
import { usePreferences } from '../../app/preferences.js';
import { Say } from '../../components/say.js';
import { Spark } from '../../components/spark.js';
import { certaintyWords, UrgencyWord, urgencyWords } from '../../components/urgency.js';
import { formatDuration, show } from '../../quantities/format-quantity.js';
import { subjectWords } from '../../quantities/subject-words.js';

/** Reasons shown on the round; the unit page has all of them. */
const reasonsShown = 2;
const othersShown = 5;

export function RoundRow({ row }: { row: RoundUnit }) {
  const { units } = usePreferences();
  const [first, ...others] = row.findings;
  const params = { site: row.site.key, unit: row.unit.key };
  return (
    <li className={`row urgency-${row.urgency}`}>
      <div className="row-margin">
        <span className="row-rank">{row.rank}</span>
        <UrgencyWord urgency={row.urgency} />
      </div>
      <article className="row-text">
        <p className="row-place">
          <Link to="/units/$site/$unit" params={params}>
            {row.unit.name}
          </Link>
          , {row.site.name}
          <span className="row-facts">
            {' '}
            {row.unit.refrigerant}, {show(row.unit.nominalCapacity_W, 'cooling-capacity', units)}
          </span>
        </p>
        <h2>
          <Link to="/units/$site/$unit" params={params} data-row>
            <Say statement={first.headline} />
          </Link>
        </h2>
        <Why finding={first} />
        <p className="row-waiting">
          <span className="row-label">If it waits</span> <Say statement={row.waiting.sentence} />
        </p>
        {others.length > 0 && (
          <ul className="row-others" aria-label="Also on this unit">
            {others.slice(0, othersShown).map((finding) => (
              <li key={finding.id}>
                <span className="row-label">{urgencyWords[finding.urgency]}</span>{' '}
                <Say statement={finding.headline} />{' '}
                <span className="quiet">({subjectWords(finding.subject)})</span>
              </li>
            ))}
            {others.length > othersShown && (
              <li className="quiet">and {others.length - othersShown} more on the unit page</li>
            )}
          </ul>
        )}
        <p className="row-links small">
          <Link to="/units/$site/$unit/brief" params={params}>
            Visit brief
          </Link>
          <LastReading at={row.lastReading} />
        </p>
      </article>
      <Evidence row={row} />
    </li>
  );
}

function Why({ finding }: { finding: Finding }) {
  const likeliest = finding.explanations[0];
  return (
    <>
      <p className="row-why">
        {finding.reasons.slice(0, reasonsShown).map((reason, index) => (
          <span key={index}>
            <Say statement={reason} />{' '}
          </span>
        ))}
      </p>
      <p className="row-sure">
        <span className="row-label">How sure</span> {certaintyWords[finding.certainty]}
        {likeliest && (
          <>
            {' '}
            Likeliest cause: {likeliest.cause}
            {finding.explanations.length > 1 && ` (${Math.round(likeliest.weight * 100)} %)`}.
          </>
        )}{' '}
        Concerns {subjectWords(finding.subject)}, seen over{' '}
        {formatDuration(Math.max(0, finding.lastSeen_s - finding.firstSeen_s))}.
      </p>
    </>
  );
}

function LastReading({ at }: { at: string | null }) {
  if (at === null) return <span className="quiet">never sent a reading</span>;
  const age_s = (Date.now() - Date.parse(at)) / 1000;
  return age_s < 900 ? null : <span className="row-stale">last reading {formatDuration(age_s)} ago</span>;
}

function Evidence({ row }: { row: RoundUnit }) {
  const { units } = usePreferences();
  const between = (kind: string) => (low: number, high: number) => {
    const [a, b] = [show(low, kind, units), show(high, kind, units)];
    return a === b ? a : `${a.replace(/ [^ ]+$/, '')} to ${b}`;
  };
  const several = row.evidence.length > 1;
  const about = row.findings[0]?.subject;
  // What the headline speaks of comes first.
  const first = about && 'circuit' in about ? about.circuit : null;
  const inOrder = [...row.evidence].sort((a, b) => Number(b.circuit === first) - Number(a.circuit === first));
  if (row.evidence.length === 0 && row.moduleEvidence.length === 0) return null;
  return (
    <aside className="row-evidence" aria-label="Evidence, drawn small">
      {several && <p className="spark-none">The last 24 h</p>}
      {inOrder.slice(0, 2).map((circuit) => (
        <div key={circuit.circuit}>
          <Spark
            time_s={circuit.time_s}
            value={circuit.superheat_K}
            label={`Superheat${several ? `, circuit ${circuit.circuit}` : ', 24 h'}`}
            range={between('temperature-difference')}
            gap_s={3600}
          />
          <Spark
            time_s={circuit.time_s}
            value={circuit.valveOpening_pct}
            label={`Opening${several ? `, circuit ${circuit.circuit}` : ', 24 h'}`}
            range={between('percent-opening')}
            tone={2}
            gap_s={3600}
          />
        </div>
      ))}
      {row.moduleEvidence.map((module) => (
        <Spark
          key={module.module}
          time_s={module.time_s}
          value={module.reserve}
          label={`Closing reserve, module ${module.module}`}
          range={between('ratio')}
          limit={1}
          tone={3}
        />
      ))}
    </aside>
  );
}
