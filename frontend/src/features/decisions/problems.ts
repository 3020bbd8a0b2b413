import type { CircuitEnergy, Estimate, UnitEnergy } from '../../api/decisions/energy.js';
import type { Finding, UnitDetail } from '../../api/types.js';
import { problemsOf } from '../../components/problem/problems.js';
import type { Statement } from '../../quantities/statement-text.js';

export interface Problem {
  /** The finding that decisions are about: of a diagnosis its most urgent symptom. */
  finding: Finding;
  /** All its findings. */
  symptoms: readonly Finding[];
  headline: Statement;
  subject: Finding['subject'];
}

/** What there is to decide, named and ordered as the page names and orders it above. */
export function problemsToDecide(unit: Pick<UnitDetail, 'diagnoses' | 'findings'>): Problem[] {
  return problemsOf(unit).flatMap(({ diagnosis, lead, headline, subject }) => {
    const ids = diagnosis?.symptoms ?? (lead === null ? [] : [lead.id]);
    const symptoms = unit.findings.filter(({ id }) => ids.includes(id));
    return symptoms.length === 0 ? [] : [{ finding: symptoms[0], symptoms, headline, subject }];
  });
}

export interface GivenAway {
  circuit: number;
  energy_J_week: Estimate;
  cost_week: CircuitEnergy['cost_week'];
  /** Other problems of the circuit have a part in it. */
  shared: boolean;
}

type OfFindings = Pick<Problem, 'symptoms'>;
type Energy = Pick<UnitEnergy, 'circuits'> | null;

/** Conditions of a problem's findings on a circuit. */
const conditionsOn = ({ symptoms }: OfFindings, circuit: number): string[] =>
  symptoms
    .filter(({ subject }) => subject.kind === 'circuit' && subject.circuit === circuit)
    .map(({ condition }) => condition);

/** The circuit whose energy follows from findings of the problem. */
const circuitOf = (problem: OfFindings, energy: Energy): CircuitEnergy | undefined =>
  energy?.circuits.find(({ circuit, conditions, energy_J_week }) => {
    const own = conditionsOn(problem, circuit);
    return energy_J_week !== null && conditions.some((condition) => own.includes(condition));
  });

/**
 * For each problem the energy that its circuit gives away, where it follows from findings of the problem; null: it is not told.
 * A circuit has one such figure, so it stands at its first problem, and further ones refer to that.
 */
export function energyOfProblems<One extends OfFindings>(
  problems: readonly One[],
  energy: Energy,
): (GivenAway | { countedWith: One } | null)[] {
  const circuits = problems.map((problem) => circuitOf(problem, energy));
  return problems.map((problem, index) => {
    const of = circuits[index];
    if (of === undefined || of.energy_J_week === null) return null;
    const first = circuits.indexOf(of);
    if (first < index) return { countedWith: problems[first] };
    const { circuit, energy_J_week, cost_week, conditions } = of;
    const own = conditionsOn(problem, circuit);
    const shared =
      circuits.lastIndexOf(of) > index || conditions.some((condition) => !own.includes(condition));
    return { circuit, energy_J_week, cost_week, shared };
  });
}
