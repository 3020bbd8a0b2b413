import { Link } from '@tanstack/react-router';
import type { Finding, UnitDetail } from '../../../api/types.js';
import { Cautions, hazardsOf } from '../../../components/cautions.js';
import { Causes } from '../../../components/causes.js';
import { LargeEvidence } from '../../../components/picture/evidence-picture.js';
import { Say } from '../../../components/say.js';
import { TooLittle } from '../../../components/states.js';
import { certaintyWords, UrgencyWord } from '../../../components/urgency.js';
import { useTimes } from '../../../components/zone.js';
import { subjectWords } from '../../../quantities/subject-words.js';
import { FindingSheet } from './finding-sheet.js';
import { NowTables } from './now-section.js';

/** The first screen: what is wrong, the picture that shows it, the figures now, and beside them why and how to tell. */
export function Answer({ detail }: { detail: UnitDetail }) {
  const [first, ...others] = detail.findings;
  return (
    <section id="wrong" className="unit-section answer" aria-label="What is wrong">
      <div className="answer-main">
        {first ? <Claim finding={first} /> : <Nothing detail={detail} />}
        <div className="answer-figures">
          {first && <LargeEvidence key={first.id} findingId={first.id} height={300} />}
          <div id="now">
            <NowTables detail={detail} />
          </div>
        </div>
      </div>
      <aside className="answer-side" aria-label="Causes, the check and the visit">
        {first && <Why finding={first} />}
        <p>
          <Link
            to="/units/$site/$unit/brief"
            params={{ site: detail.site.key, unit: detail.unit.key }}
            className="button"
          >
            Visit brief
          </Link>
        </p>
        <Cautions
          hazards={hazardsOf({
            findings: detail.findings,
            safetyClass: detail.unit.safetyClass,
            modules: detail.modules.length,
          })}
        />
      </aside>
      {others.length > 0 && (
        <div className="answer-others">
          <h2>Also found</h2>
          {others.map((finding) => (
            <FindingSheet key={finding.id} finding={finding} open={false} />
          ))}
        </div>
      )}
    </section>
  );
}

function Claim({ finding }: { finding: Finding }) {
  const { instant } = useTimes();
  return (
    <div className={`answer-claim finding urgency-${finding.urgency}`}>
      <p className="finding-about">
        <UrgencyWord urgency={finding.urgency} /> <span>{subjectWords(finding.subject)}</span>
      </p>
      <h2>
        <Say statement={finding.headline} />
      </h2>
      <p className="answer-waiting">
        {certaintyWords[finding.certainty]} <Say statement={finding.waiting.sentence} />{' '}
        <span className="quiet">
          First seen {instant(finding.firstSeen_s)}, last {instant(finding.lastSeen_s)}.
        </span>
      </p>
    </div>
  );
}

function Nothing({ detail }: { detail: UnitDetail }) {
  const assessed = [...detail.circuits, ...detail.modules].some(({ assessment }) => assessment);
  return (
    <TooLittle>
      {assessed
        ? 'Nothing found on this unit. What was checked is shown below.'
        : 'Not assessed yet: not enough telemetry has come in.'}
    </TooLittle>
  );
}

/** In the order in which a technician asks: what it could be, how to tell, why we say so, what to bring. */
function Why({ finding }: { finding: Finding }) {
  const { explanations, separatingCheck, reasons, visit } = finding;
  return (
    <>
      {explanations.length > 0 && (
        <div>
          <h3>What it could be</h3>
          <Causes explanations={explanations} />
        </div>
      )}
      {separatingCheck && (
        <div>
          <h3>The check that tells them apart</h3>
          <p>
            <Say statement={separatingCheck} />
          </p>
        </div>
      )}
      <Statements heading="Why we say so" statements={reasons} />
      {explanations.some((each) => each.speaksFor.length + each.speaksAgainst.length > 0) && (
        <details className="small">
          <summary>For and against each cause</summary>
          <ul className="bullets">
            {explanations.flatMap(({ cause, speaksFor, speaksAgainst }) => [
              ...speaksFor.map((statement, index) => (
                <li key={`${cause} for ${index}`}>
                  <span className="speaks">for {cause}</span> <Say statement={statement} />
                </li>
              )),
              ...speaksAgainst.map((statement, index) => (
                <li key={`${cause} against ${index}`}>
                  <span className="speaks">against {cause}</span> <Say statement={statement} />
                </li>
              )),
            ])}
          </ul>
        </details>
      )}
      <Statements heading="Before and on the visit" statements={visit} />
    </>
  );
}

function Statements({ heading, statements }: { heading: string; statements: Finding['reasons'] }) {
  if (statements.length === 0) return null;
  return (
    <div>
      <h3>{heading}</h3>
      <ul className="bullets">
        {statements.map((statement, index) => (
          <li key={index}>
            <Say statement={statement} />
          </li>
        ))}
      </ul>
    </div>
  );
}
