import { Link } from '@tanstack/react-router';
import { useState } from 'react';
import type { RoundUnit } from '../../../api/types.js';
import { SiteProvider, useUnits } from '../../../components/site.js';
import { Causes } from '../../../components/causes.js';
import { LargeEvidence } from '../../../components/picture/evidence-picture.js';
import { Say } from '../../../components/say.js';
import { certaintyWords, UrgencyWord, urgencyWords } from '../../../components/urgency.js';
import { show } from '../../../quantities/format-quantity.js';
import { subjectWords } from '../../../quantities/subject-words.js';
import { SiteWork } from './site-work.js';

/** What a morning needs of one unit without opening its page: the claim, its picture, causes, check and consequence. */
export function RoundAnswer({ row }: { row: RoundUnit }) {
  const units = useUnits();
  const [opened, setOpened] = useState(false);
  const [first, ...others] = row.findings;
  const params = { site: row.site.key, unit: row.unit.key };
  return (
    <SiteProvider site={row.site}>
      <article className="round-answer">
        <p className="small">
          <UrgencyWord urgency={row.urgency} /> {row.unit.name}, {row.site.name}; {row.unit.refrigerant},{' '}
          {show(row.unit.nominalCapacity_W, 'cooling-capacity', units)}; {subjectWords(first.subject)}
        </p>
        <p className="round-answer-claim">
          <Say statement={first.headline} />
        </p>
        <p>
          {certaintyWords[first.certainty]} <Say statement={row.waiting.sentence} />
        </p>
        <LargeEvidence key={first.id} findingId={first.id} height={230} />
        {first.explanations.length > 0 && (
          <>
            <h3>What it could be</h3>
            <Causes explanations={first.explanations} />
          </>
        )}
        {first.separatingCheck && (
          <>
            <h3>The check that tells them apart</h3>
            <p>
              <Say statement={first.separatingCheck} />
            </p>
          </>
        )}
        <h3>Why we say so</h3>
        <ul>
          {first.reasons.map((reason, index) => (
            <li key={index}>
              <Say statement={reason} />
            </li>
          ))}
        </ul>
        {others.length > 0 && (
          <details>
            <summary>{others.length === 1 ? 'One more finding' : `${others.length} more findings`}</summary>
            <ul>
              {others.map((finding) => (
                <li key={finding.id}>
                  <Say statement={finding.headline} />{' '}
                  <span className="quiet">
                    ({urgencyWords[finding.urgency]}, {subjectWords(finding.subject)})
                  </span>
                </li>
              ))}
            </ul>
          </details>
        )}
        <details className="round-answer-site" onToggle={(event) => setOpened(event.currentTarget.open)}>
          <summary>What else is due at {row.site.name}</summary>
          {opened && <SiteWork site={row.site} unit={row.unit.key} most={8} />}
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
