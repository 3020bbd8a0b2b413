import { describe, expect, it } from 'vitest';
import type { UnitEnergy } from '../../api/decisions/energy.js';
import type { Finding, UnitDetail } from '../../api/types.js';
import { energyOfProblems, problemsToDecide } from './problems.js';

const finding = (id: string, condition: string, circuit = 1) =>
  ({
    id,
    condition,
    subject: { kind: 'circuit', circuit },
    headline: { text: id, quantities: {} },
    ...{
      urgency: 'watch',
      explanations: [],
      visit: [],
      waiting: { score: 5, sentence: { text: '', quantities: {} } },
    },
  }) as unknown as Finding;
const detail = (findings: Finding[], symptoms: string[], cause = 'gas-in-circuit') =>
  ({
    findings,
    diagnoses: [
      {
        ...{ id: '1', cause, symptoms, consequences: [], rivals: [], cautions: [], urgency: 'watch' },
        ...{ subject: { kind: 'unit' }, waiting: { score: 9 } },
        headline: { text: 'A cause.', quantities: {} },
      },
    ],
  }) as unknown as UnitDetail;
const energy = (conditions: string[], circuit = 1) =>
  ({
    circuits: [
      {
        ...{ circuit, conditions, energy_J_week: { value: 7, uncertainty: 1 } },
        cost_week: { currency: 'EUR', value: 2, uncertainty: 0.3 },
      },
    ],
  }) as unknown as UnitEnergy;

describe('what there is to decide on a unit', () => {
  it('is each diagnosis once, with all its findings, and what no diagnosis explains', () => {
    const findings = [finding('a', 'hunting'), finding('b', 'starving'), finding('c', 'silent')];
    const problems = problemsToDecide(detail(findings, ['b', 'a']));
    expect(problems.map(({ finding: { id }, symptoms }) => [id, symptoms.map((one) => one.id)])).toEqual([
      ['a', ['a', 'b']],
      ['c', ['c']],
    ]);
    expect(problems.map(({ headline, subject }) => [headline.text, subject.kind])).toEqual([
      ['A cause.', 'unit'],
      ['c', 'circuit'],
    ]);
  });

  it('is called by its finding where none of the known causes explains it', () => {
    const [problem] = problemsToDecide(
      detail([finding('a', 'health-contact-fault')], ['a'], 'something-else'),
    );
    expect([problem.headline.text, problem.subject.kind]).toEqual(['a', 'circuit']);
  });
});

describe('what waiting with a problem gives away', () => {
  const problem = { symptoms: [finding('a', 'departure'), finding('b', 'starving')] };
  const energyOf = (one: typeof problem, of: Parameters<typeof energyOfProblems>[1]) =>
    energyOfProblems([one], of)[0];

  it('is the energy of its circuit that follows from its findings', () => {
    expect(energyOf(problem, energy(['departure']))).toEqual({
      ...{ circuit: 1, energy_J_week: { value: 7, uncertainty: 1 }, shared: false },
      cost_week: { currency: 'EUR', value: 2, uncertainty: 0.3 },
    });
  });

  it('is said to be shared where another problem of the circuit has a part in it', () => {
    expect(energyOf(problem, energy(['departure', 'superheat-too-high']))).toMatchObject({ shared: true });
  });

  it('is told once for a circuit, and further problems of it refer to the first', () => {
    const [first, other, elsewhere] = [
      problem,
      { symptoms: [finding('c', 'departure')] },
      { symptoms: [finding('d', 'departure', 2)] },
    ];
    expect(energyOfProblems([first, other, elsewhere], energy(['departure']))).toEqual([
      expect.objectContaining({ circuit: 1, shared: true }),
      { countedWith: first },
      null,
    ]);
  });

  it('is not told where it follows from something else, on another circuit, or is not known', () => {
    expect(energyOf(problem, energy(['superheat-too-high']))).toBeNull();
    expect(energyOf(problem, energy(['departure'], 2))).toBeNull();
    expect(
      energyOf(problem, { circuits: [{ ...energy(['departure']).circuits[0], energy_J_week: null }] }),
    ).toBeNull();
    expect(energyOf(problem, null)).toBeNull();
  });
});
