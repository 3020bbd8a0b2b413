import '../../components/problem/problem.css';
// It is printed: what draws comes with the page.
import '../../components/picture/drawings.js';
import './brief.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import type { CircuitDetail, UnitDetail } from '../../api/types.js';
import { unitQuery } from '../../api/queries.js';
import { PageTitle } from '../../components/page-title.js';
import { SiteProvider, useUnits } from '../../components/site.js';
import { Cautions, hazardsOf } from '../../components/cautions.js';
import { PrintedEvidence } from '../../components/picture/evidence-picture.js';
import {
  probabilityWords,
  likelihood,
  mayBeTogether,
  problemsOf,
  type Problem,
} from '../../components/problem/problems.js';
import { Say } from '../../components/say.js';
import { Failed, Loading } from '../../components/states.js';
import { UrgencyWord, urgencyWords } from '../../components/urgency/urgency.js';
import { show } from '../../quantities/format-quantity.js';
import { timeWords } from '../../quantities/site-time.js';
import { subjectWords } from '../../quantities/subject-words.js';
import { EnergyParagraph } from '../energy/energy-line.js';
import { SiteWork } from '../round/list/site-work.js';
import { briefContent, type BriefContent, type ToldProblem } from './brief-content.js';

/** The page that a technician takes along; prints on one side of A4 or Letter. */
export function BriefPage() {
  const path = useParams({ from: '/units/$site/$unit/brief' });
  const unit = useQuery(unitQuery(path));
  if (unit.isPending) return <Loading what="the unit" />;
  if (unit.isError) return <Failed what="the unit" error={unit.error} retry={() => void unit.refetch()} />;
  return (
    <>
      <PageTitle>{`Visit brief: ${unit.data.unit.name}, ${unit.data.site.name}`}</PageTitle>
      <p className="brief-tools no-print">
        <Link to="/units/$site/$unit" params={path}>
          Back to the unit
        </Link>
        <button type="button" className="button" onClick={() => window.print()}>
          Print
        </button>
        <span className="quiet small">Prints on one side of A4 or Letter, in the units chosen above.</span>
      </p>
      <SiteProvider site={unit.data.site}>
        <Brief detail={unit.data} />
      </SiteProvider>
    </>
  );
}

/** One unit's sheet. */
export function Brief({ detail }: { detail: UnitDetail }) {
  const { unit, site, findings } = detail;
  const problems = problemsOf(detail);
  const content = briefContent(problems);
  const picture = problems[0]?.lead;
  const circuit = tellingCircuit(detail, problems);
  return (
    <article className="brief">
      <Head detail={detail} first={problems[0]} />

      <Cautions
        heading="h2"
        hazards={hazardsOf({
          findings: [...findings, ...detail.diagnoses],
          safetyClass: unit.safetyClass,
          modules: detail.modules.length,
        })}
      />

      <div className="brief-columns">
        <div>
          {problems.length === 0 && <p>No open findings on this unit.</p>}
          {content.full.map((told) => (
            <FullProblem key={told.problem.key} told={told} />
          ))}
          {picture && <PrintedEvidence findingId={picture.id} />}
          <EnergyParagraph site={site.key} unit={unit.key} />
          {(content.lines.length > 0 || content.left > 0) && <AlsoOpen content={content} />}
          <SiteWork site={site} unit={unit.key} most={2} mostNearby={2} heading="h2" />
        </div>
        <div>
          {content.bring.length > 0 && (
            <section>
              <h2>Bring and do</h2>
              <ul className="brief-boxes">
                {content.bring.map((step, index) => (
                  <li key={index}>
                    <Say statement={step} />
                  </li>
                ))}
              </ul>
            </section>
          )}
          {circuit && <Present detail={detail} circuit={circuit} problems={problems} />}
        </div>
      </div>
      <section className="brief-notes">
        <h2>Found and done</h2>
        <p className="brief-signed">
          <span>Date ____________</span> <span>Name ______________________</span>{' '}
          <span>What it was ______________________________________</span>
        </p>
      </section>
    </article>
  );
}

function Head({ detail, first }: { detail: UnitDetail; first: Problem | undefined }) {
  const units = useUnits();
  const { unit, site } = detail;
  return (
    <header className="brief-head">
      <div>
        <p className="brief-kind">Visit brief</p>
        <h1>
          {unit.name}, {site.name}
        </h1>
        <p>
          {unit.refrigerant}
          {unit.safetyClass && ` (safety class ${unit.safetyClass})`},{' '}
          {show(unit.nominalCapacity_W, 'cooling-capacity', units)}, {unit.condenser}-cooled, firmware{' '}
          {unit.controllerFirmware}
        </p>
      </div>
      <p className="brief-date">
        {first && <UrgencyWord urgency={first.urgency} />}
        <span>as of {timeWords(Date.parse(detail.asOf), site.timeZone, 'minute')}</span>
        <span>
          last reading{' '}
          {detail.lastReading
            ? timeWords(Date.parse(detail.lastReading), site.timeZone, 'minute')
            : 'none yet'}
          , {site.timeZone.replace('_', ' ')}
        </span>
      </p>
    </header>
  );
}

function AlsoOpen({ content }: { content: BriefContent }) {
  return (
    <section>
      <h2>Also open</h2>
      <ul className="brief-list">
        {content.lines.map((problem) => (
          <li key={problem.key}>
            <Say statement={problem.headline} />{' '}
            <em>
              ({subjectWords(problem.subject)}, {urgencyWords[problem.urgency]})
            </em>
          </li>
        ))}
        {content.left > 0 && <li>and {content.left} more on the unit page</li>}
      </ul>
    </section>
  );
}

/** The cause first, beneath it what shows it and what follows, then what else it could be and the check that tells. */
function FullProblem({ told: { problem, seen, follows, rivals } }: { told: ToldProblem }) {
  const advice = problem.diagnosis?.advice;
  return (
    <section className={`brief-finding urgency-${problem.urgency}`}>
      <h2>
        <Say statement={problem.headline} />
      </h2>
      <p>
        <em>{urgencyWords[problem.urgency]}</em>; {subjectWords(problem.subject)};{' '}
        {probabilityWords(problem) ?? problem.certainty}.
      </p>
      {problem.cautions.map((caution) => (
        <p key={caution} className="problem-caution">
          {caution}
        </p>
      ))}
      <ul className="brief-list">
        {seen.map((statement, index) => (
          <li key={index}>
            <Say statement={statement} />
          </li>
        ))}
        {follows.map((statement, index) => (
          <li key={`follows ${index}`}>
            It follows: <Say statement={statement} />
          </li>
        ))}
      </ul>
      {rivals.length > 0 && (
        <p>
          {problem.diagnosis === null || problem.unexplained
            ? 'Possible causes'
            : mayBeTogether(problem.causes)
              ? 'What else it could be, or beside it'
              : 'What else it could be'}
          : {rivals.map(({ cause, weight }) => `${cause} (${likelihood(weight)})`).join('; ')}.
        </p>
      )}
      {problem.check && (
        <p className="brief-check">
          <strong>The check that tells:</strong> <Say statement={problem.check} />
        </p>
      )}
      {advice && (
        <p>
          <strong>What to change, by whoever may do so:</strong> <Say statement={advice.sentence} />
        </p>
      )}
    </section>
  );
}

/** The circuit that the first problem on any circuit is about, else the first one. */
function tellingCircuit(detail: UnitDetail, problems: readonly Problem[]): CircuitDetail | null {
  for (const { subject } of problems)
    if ('circuit' in subject)
      return detail.circuits.find((entry) => entry.number === subject.circuit) ?? null;
  return detail.circuits[0] ?? null;
}

/** The module that the first problem on any module is about, else one that shuts a valve of the circuit. */
function tellingModule(detail: UnitDetail, circuit: CircuitDetail, problems: readonly Problem[]) {
  for (const { subject } of problems)
    if ('module' in subject) return detail.modules.find(({ number }) => number === subject.module);
  return detail.modules.find(({ entry }) => entry.circuits.includes(circuit.number)) ?? detail.modules[0];
}

interface PresentProps {
  detail: UnitDetail;
  circuit: CircuitDetail;
  problems: readonly Problem[];
}

function Present({ detail, circuit, problems }: PresentProps) {
  const units = useUnits();
  const latest = circuit.latest;
  const module = tellingModule(detail, circuit, problems);
  const reserve = module?.assessment?.reserve;
  return (
    <section>
      <h2>Circuit {circuit.number}, last reading</h2>
      {latest && (
        <dl className="brief-values">
          <dt>Superheat</dt>
          <dd>{show(latest.superheat_K, 'temperature-difference', units)}</dd>
          <dt>Opening</dt>
          <dd>{show(latest.valveOpening_pct, 'percent-opening', units)}</dd>
          <dt>Suction</dt>
          <dd>{show(latest.suctionPressure_Pa, 'pressure', units)}</dd>
          <dt>Discharge</dt>
          <dd>{show(latest.dischargePressure_Pa, 'pressure', units)}</dd>
          {module && (
            <>
              <dt>Closing reserve, module {module.number}</dt>
              <dd>
                {reserve?.state === 'known' ? show(reserve.cases[0]?.reserve, 'ratio', units) : 'not known'}
              </dd>
            </>
          )}
        </dl>
      )}
    </section>
  );
}
