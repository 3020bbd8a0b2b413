import './plan.css';
import { useQuery } from '@tanstack/react-query';
import { Link, useNavigate, useSearch } from '@tanstack/react-router';
import { peopleQuery, sessionQuery } from '../../api/people.js';
import {
  dayPlanQuery,
  type DayPlan,
  type PlannedFinding,
  type PlannedSite,
} from '../../api/decisions/plan.js';
import { PageTitle } from '../../components/page-title.js';
import { Say } from '../../components/say.js';
import { SiteProvider } from '../../components/site.js';
import { Failed, Loading, TooLittle } from '../../components/states.js';
import { UrgencyWord, urgencyWords } from '../../components/urgency/urgency.js';
import { count } from '../../quantities/format-quantity.js';
import { subjectWords } from '../../quantities/subject-words.js';
import { dayWords, withStop } from '../decisions/standing-words.js';
import { CalendarSection } from './calendar-section.js';
import { lastDayOf, type PlanSearch } from './plan-search.js';

const spans = [
  { span: undefined, words: 'today' },
  { span: 'week', words: 'seven days' },
  { span: 'all', words: 'everything' },
] as const;

/** What one person has to do, by site, with what else is due there. */
export function PlanPage() {
  const { data: session } = useQuery(sessionQuery);
  const person = session?.person;
  return (
    <>
      <PageTitle>Plan – Coldrounds</PageTitle>
      {person == null ? (
        <Loading what="the plan" />
      ) : person.id === null || !person.abilities.includes('note') ? (
        <>
          <h1>Plan</h1>
          <TooLittle>
            Work is handed over to people who may close findings. Your account reads only, so it has no plan.
          </TooLittle>
        </>
      ) : (
        <Plan own={person.id} />
      )}
    </>
  );
}

function Plan({ own }: { own: number }) {
  const search = useSearch({ from: '/plan' });
  const person = search.person ?? own;
  const plan = useQuery(dayPlanQuery(search.person, lastDayOf(search.span)));
  return (
    <>
      <Choice person={person} own={own} search={search} />
      {plan.isPending ? (
        <Loading what="the plan" />
      ) : plan.isError ? (
        <Failed what="the plan" error={plan.error} retry={() => void plan.refetch()} />
      ) : (
        <Planned plan={plan.data} search={search} own={own} />
      )}
    </>
  );
}

function Choice({ person, own, search }: { person: number; own: number; search: PlanSearch }) {
  const navigate = useNavigate({ from: '/plan' });
  const { data } = useQuery(peopleQuery);
  const able = data?.people.filter(({ id, role }) => role !== 'reader' || id === person) ?? [];
  return (
    <div className="plan-choice no-print">
      <label>
        Whose plan{' '}
        <select
          value={person}
          onChange={({ target }) => {
            const chosen = Number(target.value);
            void navigate({ search: { ...search, person: chosen === own ? undefined : chosen } });
          }}
        >
          {able.map(({ id, name }) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <div role="group" aria-label="How far ahead" className="plan-spans">
        {spans.map(({ span, words }) => (
          <button
            key={words}
            type="button"
            className="button small"
            aria-pressed={search.span === span}
            onClick={() => void navigate({ search: { ...search, span } })}
          >
            {words}
          </button>
        ))}
      </div>
    </div>
  );
}

function Planned({ plan, search, own }: { plan: DayPlan; search: PlanSearch; own: number }) {
  const { person, findings, overdue, sites } = plan;
  const when = search.span === 'week' ? ' within seven days' : search.span === 'all' ? '' : ' today';
  return (
    <>
      <header className="lead">
        <h1>
          {findings === 0
            ? `${person.name} has nothing due${when}.`
            : `${person.name} has ${count(findings, 'finding')} at ${count(sites.length, 'site')}${when === '' ? '' : ` due${when}`}.`}
        </h1>
        <p className="lead-text">
          {overdue > 0 && `${count(overdue, 'finding is', 'findings are')} overdue. `}
          Work is handed over on the page of a unit. Days are those of the site.
        </p>
        {findings > 0 && (
          <p>
            <Link to="/plan/briefs" search={search} className="button">
              Print all visit briefs
            </Link>
          </p>
        )}
      </header>
      {sites.map((site) => (
        <SiteProvider key={site.site.key} site={site.site}>
          <SitePlan planned={site} />
        </SiteProvider>
      ))}
      <CalendarSection person={person.id} own={person.id === own} />
    </>
  );
}

function SitePlan({ planned: { site, units, alsoDue } }: { planned: PlannedSite }) {
  return (
    <section className="plan-site" aria-labelledby={`plan-${site.key}`}>
      <h2 id={`plan-${site.key}`}>{site.name}</h2>
      <ul className="plan-units">
        {units.map(({ unit, findings }) => (
          <li key={unit.key}>
            <h3>
              <Link to="/units/$site/$unit" params={{ site: site.key, unit: unit.key }} hash="decisions">
                {unit.name}
              </Link>{' '}
              <Link
                to="/units/$site/$unit/brief"
                params={{ site: site.key, unit: unit.key }}
                className="plan-brief no-print"
              >
                Visit brief<span className="hidden-visually"> of {unit.name}</span>
              </Link>
            </h3>
            <ul>
              {findings.map((finding) => (
                <Handed key={finding.finding} finding={finding} />
              ))}
            </ul>
          </li>
        ))}
      </ul>
      {alsoDue.length > 0 && (
        <>
          <h3>Also due there</h3>
          <ul className="plan-also">
            {alsoDue.map(({ unit, headline, urgency, assignee }, index) => (
              <li key={index}>
                <Link to="/units/$site/$unit" params={{ site: site.key, unit: unit.key }}>
                  {unit.name}
                </Link>{' '}
                <em>({urgencyWords[urgency]})</em>: <Say statement={headline} />{' '}
                <span className="quiet">{assignee === null ? 'Nobody has it.' : `With ${assignee}.`}</span>
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}

function Handed({ finding }: { finding: PlannedFinding }) {
  const { headline, subject, urgency, due, overdue, reason, by } = finding;
  return (
    <li className={`plan-finding urgency-${urgency}`}>
      <p>
        <UrgencyWord urgency={urgency} /> <Say statement={headline} />{' '}
        <span className="quiet">({subjectWords(subject)})</span>
      </p>
      <p className="small">
        <strong>
          {overdue ? 'Overdue since ' : 'Due '}
          {dayWords(due)}
        </strong>
        , handed over by {by}
        {reason === null ? '.' : `: ${withStop(reason)}`}
      </p>
    </li>
  );
}
