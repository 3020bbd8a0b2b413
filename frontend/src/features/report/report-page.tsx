import './report.css';
import { useQuery } from '@tanstack/react-query';
import { sort } from 'd3-array';
import { Link, useNavigate, useParams, useSearch } from '@tanstack/react-router';
import { siteReportQuery, type SiteReport } from '../../api/decisions/report.js';
import { PageTitle } from '../../components/page-title.js';
import { ProblemCautions } from '../../components/problem/problem-cautions.js';
import { Failed, Loading } from '../../components/states.js';
import { urgencies } from '../../components/urgency/urgency.js';
import { count } from '../../quantities/format-quantity.js';
import { timeWords } from '../../quantities/site-time.js';
import { dayWords, withStop } from '../decisions/standing-words.js';
import { energyWords, isSure, withCost } from '../energy/energy-words.js';
import {
  causeForCustomer,
  outcomeForCustomer,
  planForCustomer,
  toldOnce,
  seenForCustomer,
  urgencyForCustomer,
} from './customer-words.js';

const from = '/sites/$site/report';

/** A report to the owner of a site: what was found and done, what is proven, energy, and what is open. */
export function ReportPage() {
  const { site } = useParams({ from });
  const search = useSearch({ from });
  const navigate = useNavigate({ from });
  const report = useQuery(siteReportQuery(site, search));
  const set = (change: object) => void navigate({ search: { ...search, ...change }, replace: true });
  return (
    <>
      <div className="report-tools no-print">
        <Link to="/" search={{ site }}>
          Back to the site’s round
        </Link>
        <label>
          From{' '}
          <input
            type="date"
            value={search.from ?? report.data?.from ?? ''}
            onChange={({ target }) => set({ from: target.value || undefined })}
          />
        </label>
        <label>
          to{' '}
          <input
            type="date"
            value={search.to ?? report.data?.to ?? ''}
            onChange={({ target }) => set({ to: target.value || undefined })}
          />
        </label>
        <button type="button" className="button" onClick={() => window.print()}>
          Print
        </button>
      </div>
      {report.isPending ? (
        <>
          <h1>Report</h1>
          <Loading what="the report" />
        </>
      ) : report.isError ? (
        <>
          <h1>Report</h1>
          <Failed what="the report" error={report.error} retry={() => void report.refetch()} />
        </>
      ) : (
        <Sheet report={report.data} />
      )}
    </>
  );
}

/** The most urgent first, and by the machines' names what is as urgent. */
const stillOpen = (found: SiteReport['found']) =>
  sort(
    found.filter(({ endedAt }) => endedAt === null),
    ({ urgency }) => urgencies.indexOf(urgency),
  );

function Sheet({ report }: { report: SiteReport }) {
  const { site, from, to, madeAt, found, visits, closings, energy } = report;
  const open = stillOpen(found);
  const over = found.filter(({ endedAt }) => endedAt !== null);
  const at = (instant: string) => timeWords(Date.parse(instant), site.timeZone, 'day');
  return (
    <article className="report">
      <PageTitle>{`Report: ${site.name}, ${dayWords(from)} to ${dayWords(to)}`}</PageTitle>
      <header>
        <p className="report-kind">Report on the cooling machines</p>
        <h1>{site.name}</h1>
        <p>
          {dayWords(from)} to {dayWords(to)}
        </p>
      </header>
      <p className="report-sum">{summary({ open: open.length, over: over.length, visits: visits.length })}</p>
      <section>
        <h2>What is open</h2>
        {open.length === 0 && <p>Nothing is open.</p>}
        <ul>
          {toldOnce(
            open.map((problem) => ({
              name: problem.unit.name,
              cautions: problem.cautions,
              words: [
                `${urgencyForCustomer(problem.urgency)}.`,
                causeForCustomer(problem.cause),
                problem.certainty === 'possible' ? 'This is not certain yet.' : '',
                `Reported since ${at(problem.openedAt)}.`,
                planForCustomer(problem, dayWords),
              ]
                .filter((each) => each !== '')
                .join(' '),
            })),
          ).map(({ name, cautions, words, times }) => (
            <li key={`${name} ${words}`}>
              <strong>{name}</strong> {words}
              {times > 1 && ` This is so at ${times} of its parts.`}
              <ProblemCautions cautions={cautions} />
            </li>
          ))}
        </ul>
      </section>
      <section>
        <h2>What was done</h2>
        {visits.length === 0 && <p>There was no visit in these days.</p>}
        <ul>
          {visits.map((visit, index) => (
            <li key={index}>
              <strong>
                {at(visit.at)}, {visit.unit.name}.
              </strong>{' '}
              {seenForCustomer(visit)} Done: {withStop(visit.done)}{' '}
              {visit.parts.length > 0 && `Parts: ${visit.parts.join(', ')}. `}
              {outcomeForCustomer(visit)} <span className="quiet">({visit.by})</span>
            </li>
          ))}
        </ul>
      </section>
      <Over over={over} at={at} />
      <Closings closings={closings} at={at} />
      <Energy energy={energy} />
      <footer className="report-foot">
        Made on {at(madeAt)} from what the machines themselves report. Work on refrigerating machines is for
        qualified, licensed people under the local codes.
      </footer>
    </article>
  );
}

function summary({ open, over, visits }: { open: number; over: number; visits: number }): string {
  const visited =
    visits === 0 ? 'There was no visit' : visits === 1 ? 'There was 1 visit' : `There were ${visits} visits`;
  const ended = over === 0 ? 'no problem ended' : `${count(over, 'problem')} ended`;
  const left = open === 0 ? 'nothing is open' : count(open, 'problem is open', 'problems are open');
  return `${visited}, ${ended}, and ${left}.`;
}

function Over({ over, at }: { over: SiteReport['found']; at: (instant: string) => string }) {
  if (over.length === 0) return null;
  return (
    <section>
      <h2>What was found and is over</h2>
      <ul>
        {over.map((problem, index) => (
          <li key={index}>
            <strong>{problem.unit.name}.</strong> {causeForCustomer(problem.cause)} From{' '}
            {at(problem.openedAt)} to {at(problem.endedAt!)}.
          </li>
        ))}
      </ul>
    </section>
  );
}

function Closings({ closings, at }: { closings: SiteReport['closings']; at: (instant: string) => string }) {
  if (closings.length === 0) return null;
  const proven = closings.filter(({ proofs }) => proofs > 0).length;
  return (
    <section>
      <h2>If the power fails</h2>
      <p>
        A backup closes the valve of each machine when the power fails. In these days{' '}
        {provenWords(proven, closings.length)}
      </p>
      <table>
        <thead>
          <tr>
            <th scope="col">Machine</th>
            <th scope="col">Backup</th>
            <th scope="col">Times seen to close the valve</th>
            <th scope="col">Last seen</th>
          </tr>
        </thead>
        <tbody>
          {closings.map(({ unit, module, proofs, lastProofAt }) => (
            <tr key={`${unit.key} ${module}`}>
              <th scope="row">{unit.name}</th>
              <td>{module}</td>
              <td>{proofs}</td>
              <td>{lastProofAt === null ? 'not in these days' : at(lastProofAt)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );
}

function provenWords(proven: number, all: number): string {
  if (all === 1) return proven === 1 ? 'the backup was seen to do so.' : 'the backup was not seen to do so.';
  if (proven === all) return `all ${all} backups were seen to do so.`;
  if (proven === 0) return `none of the ${all} backups was seen to do so.`;
  return `${proven} of ${all} backups ${proven === 1 ? 'was' : 'were'} seen to do so.`;
}

function Energy({ energy }: { energy: SiteReport['energy'] }) {
  const { givenAway_J_week: given, givenAwayCost_week, saved_J: saved, savedCost } = energy;
  return (
    <section>
      <h2>Energy</h2>
      <p>
        {given === null
          ? 'How much energy the open problems cost, if any, cannot be told yet.'
          : `What is open now costs ${withCost(`${energyWords(given)} of electricity a week`, [givenAwayCost_week])}.`}
      </p>
      <p>
        {saved === null
          ? 'There is no visit yet whose saving is being measured.'
          : isSure(saved)
            ? `What was put right has saved ${withCost(`${energyWords(saved)} of electricity in these days`, [savedCost])}. This is measured against how the same machines ran before.`
            : 'What was put right is being measured; no saving is certain yet.'}
      </p>
      <p className="small quiet">
        In brackets: the range in which the true value lies in about 19 of 20 cases.
      </p>
    </section>
  );
}
