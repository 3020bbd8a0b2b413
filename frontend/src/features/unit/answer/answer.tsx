import '../../../components/problem/problem.css';
// Its picture is the claim: what draws comes with the page.
import '../../../components/picture/drawings.js';
import { Link } from '@tanstack/react-router';
import type { Finding, UnitDetail } from '../../../api/types.js';
import { Cautions, hazardsOf } from '../../../components/cautions.js';
import { ProblemCautions } from '../../../components/problem/problem-cautions.js';
import { Causes } from '../../../components/causes.js';
import { LargeEvidence } from '../../../components/picture/evidence-picture.js';
import { howSure, probabilityWords, problemsOf, type Problem } from '../../../components/problem/problems.js';
import { Say } from '../../../components/say.js';
import { TooLittle } from '../../../components/states.js';
import { UrgencyWord } from '../../../components/urgency/urgency.js';
import { useTimes } from '../../../components/zone.js';
import { subjectWords } from '../../../quantities/subject-words.js';
import { FindingSheet } from './finding-sheet.js';
import { NowTables } from './now-section.js';

/** The first screen: what is wrong, the picture that shows it, the figures now, and beside them what else and how to tell. */
export function Answer({ detail }: { detail: UnitDetail }) {
  const [first, ...others] = problemsOf(detail);
  return (
    <section id="wrong" className="unit-section answer" aria-label="What is wrong">
      <div className="answer-main">
        {first ? <Claim problem={first} /> : <Nothing detail={detail} />}
        <div className="answer-figures">
          {first?.lead && <LargeEvidence key={first.lead.id} findingId={first.lead.id} height={300} />}
          <div id="now">
            <NowTables detail={detail} />
          </div>
        </div>
        <Normals detail={detail} />
      </div>
      <aside className="answer-side" aria-label="Causes, the check and the visit">
        {first && <Why problem={first} />}
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
            findings: [...detail.findings, ...detail.diagnoses],
            safetyClass: detail.unit.safetyClass,
            modules: detail.modules.length,
          })}
        />
      </aside>
      <div className="answer-further">
        {first && <Beneath problem={first} />}
        {others.length > 0 && (
          <div className="answer-others">
            <h2>Other problems</h2>
            {others.map((problem) => (
              <ProblemSheet key={problem.key} problem={problem} />
            ))}
          </div>
        )}
      </div>
    </section>
  );
}

function Claim({ problem }: { problem: Problem }) {
  const { instant } = useTimes();
  const { lead, headline } = problem;
  return (
    <div className={`answer-claim finding urgency-${problem.urgency}`}>
      <p className="finding-about">
        <UrgencyWord urgency={problem.urgency} /> <span>{subjectWords(problem.subject)}</span>
      </p>
      <h2>
        <Say statement={headline} />
      </h2>
      <ProblemCautions cautions={problem.cautions} />
      <p className="answer-waiting">
        {howSure(problem)} {problem.unexplained && 'None of the known causes explains this well. '}
        {lead !== null && lead.headline !== headline && (
          <>
            <Say statement={lead.headline} />{' '}
          </>
        )}
        <Say statement={problem.waiting.sentence} />{' '}
        <span className="quiet">
          First seen {instant(problem.since_s)}
          {lead !== null && `, last ${instant(lead.lastSeen_s)}`}.
        </span>
      </p>
    </div>
  );
}

/** What else shows the first problem, and what follows from it. */
function Beneath({ problem: { symptoms, consequences } }: { problem: Problem }) {
  if (symptoms.length + consequences.length === 0) return null;
  return (
    <div className="answer-others">
      <Sheets heading="What else shows it" findings={symptoms} />
      <Sheets heading="Consequences of it, not separate problems" findings={consequences} />
    </div>
  );
}

function Sheets({ heading, findings }: { heading: string; findings: readonly Finding[] }) {
  if (findings.length === 0) return null;
  return (
    <>
      <h2>{heading}</h2>
      {findings.map((finding) => (
        <FindingSheet key={finding.id} finding={finding} open={false} />
      ))}
    </>
  );
}

/** Another problem of the unit, with the findings that it explains. */
function ProblemSheet({ problem }: { problem: Problem }) {
  const { lead, symptoms, consequences, check, causes } = problem;
  const findings = [...(lead === null ? [] : [lead]), ...symptoms, ...consequences];
  if (findings.length === 1 && (problem.diagnosis === null || problem.unexplained))
    return <FindingSheet finding={findings[0]} open={false} />;
  return (
    <details className={`finding urgency-${problem.urgency}`}>
      <summary>
        <p className="finding-about">
          <UrgencyWord urgency={problem.urgency} /> <span>{subjectWords(problem.subject)}</span>{' '}
          {probabilityWords(problem) !== null && <span>({probabilityWords(problem)})</span>}
        </p>
        <h3>
          <Say statement={problem.headline} />
        </h3>
      </summary>
      <div className="finding-body">
        <ProblemCautions cautions={problem.cautions} />
        <Causes explanations={causes} />
        {check && (
          <p className="check">
            <strong>The check that tells them apart.</strong> <Say statement={check} />
          </p>
        )}
        {findings.map((finding) => (
          <FindingSheet key={finding.id} finding={finding} open={false} />
        ))}
      </div>
    </details>
  );
}

/** What each circuit is compared with, or what to wait for. */
function Normals({ detail }: { detail: UnitDetail }) {
  const notes = detail.circuits.flatMap(({ number, normal }) =>
    normal === null ? [] : [{ number, normal }],
  );
  return (
    <div className="quiet small answer-normals">
      {notes.map(({ number, normal }) => (
        <p key={number}>
          <Say statement={normal.note} />{' '}
          {normal.startedAnew && `Learning was restarted: ${normal.startedAnew.detail}`}
        </p>
      ))}
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
function Why({ problem }: { problem: Problem }) {
  const { lead, causes, check, symptoms } = problem;
  const explanations = lead?.explanations ?? [];
  return (
    <>
      {causes.length > 0 && (
        <div>
          <h3>What it could be</h3>
          <Causes explanations={causes} />
        </div>
      )}
      {check && (
        <div>
          <h3>The check that tells them apart</h3>
          <p>
            <Say statement={check} />
          </p>
        </div>
      )}
      {problem.diagnosis?.advice && (
        <Statements
          heading="What to change, by authorised staff only"
          statements={[problem.diagnosis.advice.sentence, problem.diagnosis.advice.basis]}
        />
      )}
      <Statements
        heading="Why we say so"
        statements={[...(lead?.reasons ?? []), ...symptoms.map((symptom) => symptom.headline)]}
      />
      {explanations.some((each) => each.supports.length + each.contradicts.length > 0) && (
        <details className="small">
          <summary>For and against each cause</summary>
          <ul className="bullets">
            {explanations.flatMap(({ cause, supports, contradicts }) => [
              ...supports.map((statement, index) => (
                <li key={`${cause} for ${index}`}>
                  <span className="evidence-side">for {cause}</span> <Say statement={statement} />
                </li>
              )),
              ...contradicts.map((statement, index) => (
                <li key={`${cause} against ${index}`}>
                  <span className="evidence-side">against {cause}</span> <Say statement={statement} />
                </li>
              )),
            ])}
          </ul>
        </details>
      )}
      <Statements
        heading="Before and on the visit"
        statements={eachOnce([...(lead === null ? [] : [lead]), ...symptoms].flatMap(({ visit }) => visit))}
      />
    </>
  );
}

/** Findings of one cause may ask for the same on a visit. */
const eachOnce = (statements: Finding['reasons']): Finding['reasons'] => [
  ...new Map(statements.map((statement) => [JSON.stringify(statement), statement])).values(),
];

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
