import './decisions.css';
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from '@tanstack/react-router';
import {
  accuracyQuery,
  decisionsQuery,
  unitDecisionsQuery,
  type Decision,
  type DecisionKind,
  type Standing,
} from '../../api/decisions/decisions.js';
import { sessionQuery, type Ability } from '../../api/people.js';
import { useUnitEnergy } from '../../api/decisions/energy.js';
import type { Finding, UnitDetail } from '../../api/types.js';
import { Say } from '../../components/say.js';
import { useUnits } from '../../components/site.js';
import { Failed } from '../../components/states.js';
import { useTimes } from '../../components/zone.js';
import { subjectWords } from '../../quantities/subject-words.js';
import { givenAwayWords } from '../energy/energy-words.js';
import { fractionWords } from './accuracy-words.js';
import { DecisionForm } from './forms/decision-form.js';
import { decisionWords } from './decision-words.js';
import { energyOfProblems, problemsToDecide, type Problem } from './problems.js';
import { kindWords, standingWords } from './standing-words.js';

const needed: Record<DecisionKind, Ability> = {
  'hand-over': 'plan',
  'put-off': 'plan',
  accept: 'plan',
  close: 'visit',
  note: 'note',
};
const kinds = Object.keys(needed) as DecisionKind[];

/** What to do with each finding of the unit, what was decided, and what became of it after visits. */
export function DecisionSection({ detail }: { detail: UnitDetail }) {
  const path = { site: detail.site.key, unit: detail.unit.key };
  const { data } = useQuery(unitDecisionsQuery(path));
  const open = new Set(detail.findings.map(({ id }) => id));
  const past = data?.standings.filter(({ finding, kind }) => !open.has(finding) && kind === 'closed') ?? [];
  if (detail.findings.length === 0 && past.length === 0) return null;
  const problems = problemsToDecide(detail);
  return (
    <section id="decisions" className="unit-section decisions" aria-labelledby="decisions-heading">
      <h2 id="decisions-heading">Who does what</h2>
      <ul>
        {problems.map((problem) => (
          <FindingEntry key={problem.finding.id} problem={problem} problems={problems} detail={detail} />
        ))}
      </ul>
      {past.length > 0 && <PastVisits standings={past} />}
    </section>
  );
}

interface EntryProps {
  problem: Problem;
  /** All problems of the unit, this one among them. */
  problems: readonly Problem[];
  detail: UnitDetail;
}

/** What waiting costs: in energy where the circuit's cycle shows it, else as a risk in words. */
function Waiting({ problem, problems, detail }: EntryProps) {
  const energy = useUnitEnergy(detail.site.key, detail.unit.key);
  const given = energyOfProblems(problems, energy ?? null)[problems.indexOf(problem)];
  if (given === null) return <Say statement={problem.finding.waiting.sentence} />;
  if ('countedWith' in given)
    return (
      <>
        <Say statement={problem.finding.waiting.sentence} /> Its energy is counted with “
        <Say statement={given.countedWith.headline} />”
      </>
    );
  const { circuit, shared } = given;
  return (
    <>
      Waiting gives away {givenAwayWords(given.energy_J_week, [given.cost_week])}
      {shared && `, with the other problems of circuit ${circuit}`}.
    </>
  );
}

function FindingEntry({ problem, problems, detail }: EntryProps) {
  const { finding, headline, subject } = problem;
  const [chosen, choose] = useState<DecisionKind | null>(null);
  const { data: session } = useQuery(sessionQuery);
  const decided = useQuery(decisionsQuery(finding.id));
  const may = kinds.filter((kind) => session?.person?.abilities.includes(needed[kind]));
  return (
    <li>
      <p>
        <Say statement={headline} /> <span className="quiet">({subjectWords(subject)})</span>
      </p>
      {decided.isError && <Failed what="what was decided" error={decided.error} />}
      <p className="decisions-standing">
        {decided.data?.standing ? standingWords(decided.data.standing) : 'Nobody has it yet.'}
      </p>
      <p className="small">
        <Waiting problem={problem} problems={problems} detail={detail} />
      </p>
      <WasRight said={decided.data?.said?.cause ?? null} certainty={finding.certainty} />
      <History decisions={decided.data?.decisions ?? []} />
      {session?.person && may.length === 0 && (
        <p className="small quiet">
          {session.person.id === null
            ? 'Deciding needs an account.'
            : 'Your account reads only; deciding needs another role.'}
        </p>
      )}
      <div className="decisions-choice" role="group" aria-label="What to do with it">
        {may.map((kind) => (
          <button
            key={kind}
            type="button"
            className="button"
            aria-pressed={chosen === kind}
            onClick={() => choose(chosen === kind ? null : kind)}
          >
            {kindWords[kind]}
          </button>
        ))}
      </div>
      {chosen !== null && (
        <DecisionForm
          key={chosen}
          kind={chosen}
          finding={finding}
          detail={detail}
          version={decided.data?.version ?? 0}
          said={decided.data?.said?.cause ?? null}
          done={() => choose(null)}
        />
      )}
    </li>
  );
}

/** How often the cause that is said here was right before, at this certainty. */
function WasRight({ said, certainty }: { said: string | null; certainty: Finding['certainty'] }) {
  const { data } = useQuery(accuracyQuery);
  const row = data?.causes.find((entry) => entry.cause === said && entry.certainty === certainty);
  if (row === undefined) return null;
  return (
    <p className="small quiet">
      Where the cause “{row.name}” was said before, it was{' '}
      <Link to="/accuracy">
        right in {row.confirmed} of {row.visits} visits
      </Link>{' '}
      ({fractionWords(row)})
    </p>
  );
}

function History({ decisions }: { decisions: readonly Decision[] }) {
  const { instant } = useTimes();
  const units = useUnits();
  if (decisions.length === 0) return null;
  return (
    <details>
      <summary>
        {decisions.length === 1 ? 'One decision or note' : `${decisions.length} decisions and notes`}
      </summary>
      <ul className="decisions-history">
        {decisions.map((decision) => (
          <li key={decision.id}>
            <span className="quiet small">
              {instant(Date.parse(decision.at) / 1000)}, {decision.by.name}.
            </span>{' '}
            {decisionWords(decision, units)}
          </li>
        ))}
      </ul>
    </details>
  );
}

function PastVisits({ standings }: { standings: readonly Standing[] }) {
  const { day } = useTimes();
  return (
    <>
      <h3>After earlier visits</h3>
      <ul>
        {standings.map((standing) => (
          <li key={standing.finding}>
            <p>
              <span className="quiet">{day(Date.parse(standing.at) / 1000)}.</span>{' '}
              <Say statement={standing.headline} />
            </p>
            <p className="decisions-standing">{standingWords(standing)}</p>
          </li>
        ))}
      </ul>
    </>
  );
}
