import type { CircuitEnergy, Estimate, UnitEnergy } from '../../api/decisions/energy.js';
import type { Finding, UnitDetail } from '../../api/types.js';

export interface Problem {
  /** The finding that decisions are about: of a diagnosis its most urgent symptom. */
  finding: Finding;
  /** All its findings. */
  symptoms: readonly Finding[];
  headline: Finding['headline'];
}

/** What there is to decide: each diagnosis once, and the findings that none explains. */
export function problemsToDecide({
  diagnoses,
  findings,
}: Pick<UnitDetail, 'diagnoses' | 'findings'>): Problem[] {
  const explained = new Set(diagnoses.flatMap(({ symptoms }) => symptoms));
  return [
    ...diagnoses.flatMap(({ symptoms: ids, headline }) => {
      const symptoms = findings.filter(({ id }) => ids.includes(id));
      return symptoms.length === 0 ? [] : [{ finding: symptoms[0], symptoms, headline }];
    }),
    ...findings
      .filter(({ id }) => !explained.has(id))
      .map((finding) => ({ finding, symptoms: [finding], headline: finding.headline })),
  ];
}

export interface GivenAway {
  circuit: number;
  energy_J_week: Estimate;
  cost_week: CircuitEnergy['cost_week'];
  /** Other problems of the circuit have a part in it. */
  shared: boolean;
}

/** The energy that a problem's circuit gives away, where it follows from findings of the problem; null: it is not told. */
export function energyOf(
  { symptoms }: Pick<Problem, 'symptoms'>,
  energy: Pick<UnitEnergy, 'circuits'> | null,
): GivenAway | null {
  for (const { circuit, conditions, energy_J_week, cost_week } of energy?.circuits ?? []) {
    const own = symptoms
      .filter(({ subject }) => subject.kind === 'circuit' && subject.circuit === circuit)
      .map(({ condition }) => condition as string);
    if (energy_J_week === null || !conditions.some((condition) => own.includes(condition))) continue;
    const shared = conditions.some((condition) => !own.includes(condition));
    return { circuit, energy_J_week, cost_week, shared };
  }
  return null;
}
