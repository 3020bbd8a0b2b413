import './brief.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useParams } from '@tanstack/react-router';
import type { CircuitDetail, Finding, UnitDetail } from '../../api/types.js';
import { unitQuery } from '../../api/queries.js';
import { SiteProvider, useUnits } from '../../components/site.js';
import { Cautions, hazardsOf } from '../../components/cautions.js';
import { PrintedEvidence } from '../../components/picture/evidence-picture.js';
import { Say } from '../../components/say.js';
import { Failed, Loading } from '../../components/states.js';
import { certaintyWords, UrgencyWord, urgencyWords } from '../../components/urgency/urgency.js';
import { show } from '../../quantities/format-quantity.js';
import { timeWords } from '../../quantities/site-time.js';
import { subjectWords } from '../../quantities/subject-words.js';
import { SiteWork } from '../round/list/site-work.js';
import { briefContent, type BriefContent } from './brief-content.js';

/** The page that a technician takes along; prints on one side of A4 or Letter. */
export function BriefPage() {
  const path = useParams({ from: '/units/$site/$unit/brief' });
  const unit = useQuery(unitQuery(path));
  if (unit.isPending) return <Loading what="the unit" />;
  if (unit.isError) return <Failed what="the unit" error={unit.error} retry={() => void unit.refetch()} />;
  return (
    <>
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

function Brief({ detail }: { detail: UnitDetail }) {
  const { unit, site, findings } = detail;
  const content = briefContent(findings);
  const circuit = tellingCircuit(detail);
  return (
    <article className="brief">
      <title>{`Visit brief: ${unit.name}, ${site.name}`}</title>
      <Head detail={detail} />

      <Cautions
        heading="h2"
        hazards={hazardsOf({ findings, safetyClass: unit.safetyClass, modules: detail.modules.length })}
      />

      <div className="brief-columns">
        <div>
          {findings.length === 0 && <p>No open findings on this unit.</p>}
          {content.full.map((finding) => (
            <FullFinding key={finding.id} finding={finding} />
          ))}
          {findings[0] && <PrintedEvidence findingId={findings[0].id} />}
          {(content.lines.length > 0 || content.left > 0) && <AlsoOpen content={content} />}
          <SiteWork site={site} unit={unit.key} most={2} heading="h2" />
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
          {circuit && <Present detail={detail} circuit={circuit} />}
        </div>
      </div>
      <section className="brief-notes">
        <h2>Found and done</h2>
        <p>
          Date ____________ Name ______________________ What it was ______________________________________
        </p>
      </section>
    </article>
  );
}

function Head({ detail }: { detail: UnitDetail }) {
  const units = useUnits();
  const { unit, site, findings } = detail;
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
        {findings[0] && <UrgencyWord urgency={findings[0].urgency} />}
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
        {content.lines.map((finding) => (
          <li key={finding.id}>
            <Say statement={finding.headline} />{' '}
            <em>
              ({subjectWords(finding.subject)}, {urgencyWords[finding.urgency]})
            </em>
          </li>
        ))}
        {content.left > 0 && <li>and {content.left} more on the unit page</li>}
      </ul>
    </section>
  );
}

function FullFinding({ finding }: { finding: Finding }) {
  return (
    <section className={`brief-finding urgency-${finding.urgency}`}>
      <h2>
        <Say statement={finding.headline} />
      </h2>
      <p>
        <em>{urgencyWords[finding.urgency]}</em>; {subjectWords(finding.subject)}.{' '}
        {certaintyWords[finding.certainty]}{' '}
        {finding.reasons.slice(0, 2).map((reason, index) => (
          <span key={index}>
            <Say statement={reason} />{' '}
          </span>
        ))}
      </p>
      {finding.explanations.length > 0 && (
        <p>
          Possible causes:{' '}
          {finding.explanations
            .slice(0, 3)
            .map((explanation) => `${explanation.cause} (${Math.round(explanation.weight * 100)} %)`)
            .join('; ')}
          .
        </p>
      )}
      {finding.separatingCheck && (
        <p className="brief-check">
          <strong>Check before the visit:</strong> <Say statement={finding.separatingCheck} />
        </p>
      )}
    </section>
  );
}

function tellingCircuit(detail: UnitDetail): CircuitDetail | null {
  for (const { subject } of detail.findings)
    if ('circuit' in subject)
      return detail.circuits.find((entry) => entry.number === subject.circuit) ?? null;
  return detail.circuits[0] ?? null;
}

function Present({ detail, circuit }: { detail: UnitDetail; circuit: CircuitDetail }) {
  const units = useUnits();
  const latest = circuit.latest;
  const module = detail.modules[0];
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
