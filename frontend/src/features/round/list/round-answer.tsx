import '../../../components/problem/problem.css';
import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RoundUnit } from '../../../api/types.js';
import { SiteProvider, useUnits } from '../../../components/site.js';
import { Causes } from '../../../components/causes.js';
import { LargeEvidence } from '../../../components/picture/evidence-picture.js';
import { howSure, probabilityWords, problemsOf, type Problem } from '../../../components/problem/problems.js';
import { Say } from '../../../components/say.js';
import { certaintyWords, UrgencyWord, urgencyWords } from '../../../components/urgency/urgency.js';
import { show } from '../../../quantities/format-quantity.js';
import { subjectWords } from '../../../quantities/subject-words.js';
import { SiteWork } from './site-work.js';

/** What a morning needs of one unit without opening its page: the claim, its picture, causes, check and consequence. */
export function RoundAnswer({ row }: { row: RoundUnit }) {
  const units = useUnits();
  const [opened, setOpened] = useState(false);
  const [problem, ...others] = problemsOf(row);
  const { lead } = problem;
  const params = { site: row.site.key, unit: row.unit.key };
  return (
    <SiteProvider site={row.site}>
      <article className="round-answer">
        <p className="small">
          <UrgencyWord urgency={row.urgency} /> {row.unit.name}, {row.site.name}; {row.unit.refrigerant},{' '}
          {show(row.unit.nominalCapacity_W, 'cooling-capacity', units)}; {subjectWords(problem.subject)}
        </p>
        <p className="round-answer-claim">
          <Say statement={problem.headline} />
        </p>
        <p>
          {howSure(problem)} <Say statement={problem.waiting.sentence} />{' '}
          {problem.unexplained && 'None of the known causes explains this well.'}
        </p>
        {problem.cautions.map((caution) => (
          <p key={caution} className="problem-caution">
            {caution}
          </p>
        ))}
        {lead !== null && <LargeEvidence key={lead.id} findingId={lead.id} height={230} />}
        {problem.causes.length > 0 && (
          <>
            <h3>What it could be</h3>
            <Causes explanations={problem.causes} />
          </>
        )}
        {problem.check && (
          <>
            <h3>The check that tells them apart</h3>
            <p>
              <Say statement={problem.check} />
            </p>
          </>
        )}
        <h3>Why we say so</h3>
        <ul>
          {whyOf(problem).map((reason, index) => (
            <li key={index}>
              <Say statement={reason} />
            </li>
          ))}
        </ul>
        <Following problem={problem} />
        <Others problems={others} />
        <details className="round-answer-site" onToggle={(event) => setOpened(event.currentTarget.open)}>
          <summary>What else is due at {row.site.name} and near by</summary>
          {opened && <SiteWork site={row.site} unit={row.unit.key} most={8} mostNearby={5} />}
        </details>
        <p className="round-answer-links">
          <Link to="/units/$site/$unit" params={params} className="button small">
            Open the unit
          </Link>
          <Link to="/units/$site/$unit/brief" params={params} className="button small">
            Visit brief
          </Link>
        </p>
      </article>
    </SiteProvider>
  );
}

function Others({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <details>
      <summary>{problems.length === 1 ? 'One more problem' : `${problems.length} more problems`}</summary>
      <ul>
        {problems.map((other) => (
          <li key={other.key}>
            <Say statement={other.headline} />{' '}
            <span className="quiet">
              ({urgencyWords[other.urgency]}, {probabilityWords(other) ?? certaintyWords[other.certainty]}{' '}
              {subjectWords(other.subject)})
            </span>
          </li>
        ))}
      </ul>
    </details>
  );
}

/** What is seen, where the cause stands above it, then the reasons of what shows it best and what else points there. */
function whyOf({ headline, lead, symptoms }: Problem) {
  const seen = lead === null || lead.headline === headline ? [] : [lead.headline];
  return [...seen, ...(lead?.reasons ?? []), ...symptoms.map((symptom) => symptom.headline)];
}

/** What follows from the cause: shown so that nobody takes it for a problem of its own. */
function Following({ problem: { consequences } }: { problem: Problem }) {
  if (consequences.length === 0) return null;
  return (
    <>
      <h3>What follows from it</h3>
      <ul>
        {consequences.map((finding) => (
          <li key={finding.id}>
            <Say statement={finding.headline} />
          </li>
        ))}
      </ul>
    </>
  );
}
