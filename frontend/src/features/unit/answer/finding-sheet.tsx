import type { Explanation, Finding } from '../../../api/types.js';
import '../../../components/causes.css';
import { LargeEvidence } from '../../../components/picture/evidence-picture.js';
import { likelihood } from '../../../components/problem/problems.js';
import { Say } from '../../../components/say.js';
import { useTimes } from '../../../components/zone.js';
import { certaintyWords, UrgencyWord } from '../../../components/urgency/urgency.js';
import { subjectWords } from '../../../quantities/subject-words.js';

/** One finding in the order of the questions: what, why, what else and how to tell, what it costs, what to do. */
export function FindingSheet({ finding, open }: { finding: Finding; open: boolean }) {
  const { instant } = useTimes();
  return (
    <details className={`finding urgency-${finding.urgency}`} open={open}>
      <summary>
        <p className="finding-about">
          <UrgencyWord urgency={finding.urgency} /> <span>{subjectWords(finding.subject)}</span>
        </p>
        <h3>
          <Say statement={finding.headline} />
        </h3>
      </summary>
      <div className="finding-body">
        <p className="quiet small">
          First seen {instant(finding.firstSeen_s)}, last {instant(finding.lastSeen_s)}.{' '}
          {certaintyWords[finding.certainty]}
        </p>
        <LargeEvidence findingId={finding.id} />
        {finding.reasons.length > 0 && (
          <>
            <h4>Why we say so</h4>
            <ul className="bullets">
              {finding.reasons.map((reason, index) => (
                <li key={index}>
                  <Say statement={reason} />
                </li>
              ))}
            </ul>
          </>
        )}
        {finding.explanations.length > 0 && (
          <>
            <h4>Possible causes</h4>
            <ol className="explanations">
              {finding.explanations.map((explanation) => (
                <ExplanationItem key={explanation.cause} explanation={explanation} />
              ))}
            </ol>
          </>
        )}
        {finding.separatingCheck && (
          <p className="check">
            <strong>The check that tells them apart.</strong> <Say statement={finding.separatingCheck} />
          </p>
        )}
        <h4>If it waits</h4>
        <p>
          <Say statement={finding.waiting.sentence} />
        </p>
        {finding.visit.length > 0 && (
          <>
            <h4>Before and on the visit</h4>
            <ul className="bullets">
              {finding.visit.map((step, index) => (
                <li key={index}>
                  <Say statement={step} />
                </li>
              ))}
            </ul>
          </>
        )}
      </div>
    </details>
  );
}

function ExplanationItem({ explanation }: { explanation: Explanation }) {
  const share = Math.round(explanation.weight * 100);
  return (
    <li>
      <p className="explanation-cause">
        <span className="explanation-share">
          <span style={{ width: `${share}%` }} />
        </span>
        <strong>{explanation.cause}</strong> <span className="quiet">{likelihood(explanation.weight)}</span>
      </p>
      <ul>
        {explanation.supports.map((statement, index) => (
          <li key={index}>
            <span className="evidence-side">for</span> <Say statement={statement} />
          </li>
        ))}
        {explanation.contradicts.map((statement, index) => (
          <li key={`against${index}`}>
            <span className="evidence-side">against</span> <Say statement={statement} />
          </li>
        ))}
      </ul>
    </li>
  );
}
