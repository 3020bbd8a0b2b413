import { describe, expect, it } from 'vitest';
import type { Diagnosis, Finding } from '../../api/types.js';
import { likelihood, mayBeTogether, probabilityWords, problemsOf } from './problems.js';

const say = (text: string) => ({ text, quantities: {} });
const finding = (id: string, change: Partial<Finding> = {}): Finding => ({
  id,
  condition: 'hunting',
  subject: { kind: 'circuit', circuit: 1 },
  headline: say(`Finding ${id}.`),
  reasons: [],
  explanations: [{ cause: 'load swings first', weight: 0.6, supports: [], contradicts: [] }],
  separatingCheck: say(`Check ${id}.`),
  certainty: 'likely',
  urgency: 'this-week',
  waiting: { score: 10, sentence: say('It wears.') },
  visit: [],
  hazards: [],
  firstSeen_s: 100,
  lastSeen_s: 200,
  openedAt: '2026-03-02T10:00:00Z',
  updatedAt: '2026-03-02T10:00:00Z',
  endedAt: null,
  ...change,
});
const diagnosis = (change: Partial<Diagnosis> = {}): Diagnosis => ({
  id: '9',
  cause: 'sensor-wrong',
  name: 'a sensor reads wrong',
  subject: { kind: 'sensor', circuit: 1, sensor: 'suction-temperature' },
  headline: say('A sensor reads wrong.'),
  weight: 0.874,
  certainty: 'likely',
  rivals: [{ cause: 'load-swings', name: 'swings of load or water disturb superheat', weight: 0.08 }],
  separatingCheck: say('Compare it with a reference instrument.'),
  advice: null,
  urgency: 'this-week',
  waiting: { score: 40, sentence: say('It misleads the controller.') },
  symptoms: ['2', '3', '1'],
  consequences: ['1'],
  since_s: 50,
  hazards: [],
  cautions: [],
  openedAt: '2026-03-02T10:00:00Z',
  updatedAt: '2026-03-02T10:00:00Z',
  endedAt: null,
  ...change,
});

describe('how likely a cause is', () => {
  it('is a percentage, and never all of it', () => {
    expect(likelihood(0.42)).toBe('42 %');
    expect(likelihood(0.98)).toBe('98 %');
    expect(likelihood(0.999)).toBe('over 98 %');
  });
  it('tells of two at once where more than all would be shared out', () => {
    expect(mayBeTogether([{ weight: 0.6 }, { weight: 0.4 }])).toBe(false);
    expect(mayBeTogether([{ weight: 0.99 }, { weight: 0.32 }])).toBe(true);
  });
});

describe('the problems of a unit', () => {
  it('are one for a cause, with the finding that shows it best, the others, and what follows', () => {
    const [problem, ...others] = problemsOf({
      diagnoses: [diagnosis()],
      findings: [finding('1'), finding('2'), finding('3')],
    });
    expect(others).toEqual([]);
    expect(problem).toMatchObject({
      headline: { text: 'A sensor reads wrong.' },
      lead: { id: '2' },
      symptoms: [{ id: '3' }],
      consequences: [{ id: '1' }],
      since_s: 50,
      check: { text: 'Compare it with a reference instrument.' },
      causes: [
        { cause: 'a sensor reads wrong', weight: 0.874 },
        { cause: 'swings of load or water disturb superheat', weight: 0.08 },
      ],
    });
    expect(probabilityWords(problem)).toBe('87 % likely');
  });

  it('are the finding as it is where no known cause explains it, with the causes that it considers itself', () => {
    const [problem] = problemsOf({
      diagnoses: [
        diagnosis({
          cause: 'something-else',
          headline: say('None fits.'),
          symptoms: ['1'],
          consequences: [],
        }),
      ],
      findings: [finding('1')],
    });
    expect(problem).toMatchObject({
      unexplained: true,
      headline: { text: 'Finding 1.' },
      subject: { kind: 'circuit', circuit: 1 },
      causes: [{ cause: 'load swings first', weight: 0.6 }],
    });
    expect(probabilityWords(problem)).toBeNull();
  });

  it('are also findings that no diagnosis has, all in the order of urgency and cost of waiting', () => {
    const problems = problemsOf({
      diagnoses: [diagnosis({ symptoms: ['1'], consequences: [] })],
      findings: [
        finding('1'),
        finding('4', { urgency: 'today' }),
        finding('5', { waiting: { score: 90, sentence: say('It costs.') } }),
        finding('6', { urgency: 'watch' }),
      ],
    });
    expect(problems.map(({ key }) => key)).toEqual(['finding 4', 'finding 5', 'diagnosis 9', 'finding 6']);
    expect(problems[0]).toMatchObject({ diagnosis: null, unexplained: false, check: { text: 'Check 4.' } });
    expect(probabilityWords(problems[0])).toBeNull();
  });

  it('keep the cause where its findings have just ended', () => {
    const [problem] = problemsOf({ diagnoses: [diagnosis()], findings: [] });
    expect(problem).toMatchObject({ headline: { text: 'A sensor reads wrong.' }, lead: null, symptoms: [] });
    expect(problemsOf({ diagnoses: [], findings: [] })).toEqual([]);
  });
});
