import { statement, type Cause } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import type {
  DiagnosisDocument,
  StoredDiagnosis,
} from '../storage/repositories/findings/diagnosis.repository.js';
import { reconcileDiagnoses } from './reconcile-diagnoses.js';

const document = (
  cause: Cause,
  symptoms: string[],
  change: Partial<DiagnosisDocument> = {},
): DiagnosisDocument => ({
  cause,
  subject: { kind: 'circuit', circuit: 1 },
  weight: 0.7,
  rivals: [],
  urgency: 'this-week',
  certainty: 'likely',
  headline: statement('Probably.'),
  separatingCheck: null,
  advice: null,
  symptoms,
  consequences: [],
  since_s: 0,
  waiting: { score: 10, sentence: statement('It costs.') },
  hazards: [],
  cautions: [],
  ...change,
});
const open = (id: string, of: DiagnosisDocument): StoredDiagnosis => ({
  id,
  unitId: 1,
  document: of,
  openedAt: new Date(0),
  updatedAt: new Date(0),
  endedAt: null,
});
const none = { opened: [], updated: [], ended: [] };

describe('diagnoses brought up to date', () => {
  const gas = document('gas-in-circuit', ['1']);

  it('open what is new, leave alone what is the same, and end at once what nothing supports', () => {
    expect(reconcileDiagnoses(1, [], [gas])).toEqual({
      ...none,
      opened: [{ unitId: 1, subjectKey: 'circuit/1', document: gas }],
    });
    expect(reconcileDiagnoses(1, [open('7', gas)], [gas])).toEqual(none);
    expect(reconcileDiagnoses(1, [open('7', gas)], [])).toEqual({ ...none, ended: ['7'] });
  });

  it('stay the same problem where the cause of the same symptoms is named otherwise', () => {
    const fouled = document('condenser-fouled', ['1']);
    expect(reconcileDiagnoses(1, [open('7', gas)], [fouled])).toEqual({
      ...none,
      updated: [{ id: '7', subjectKey: 'circuit/1', document: fouled, changed: true }],
    });
  });

  it('are not changed for a reader where only the probability moved', () => {
    const surer = { ...gas, weight: 0.75 };
    expect(reconcileDiagnoses(1, [open('7', gas)], [surer]).updated).toMatchObject([
      { id: '7', changed: false },
    ]);
  });

  it('go on where a symptom ended and opened again under another number', () => {
    expect(
      reconcileDiagnoses(1, [open('7', gas)], [document('gas-in-circuit', ['2'])]).updated,
    ).toMatchObject([{ id: '7', changed: false }]);
    // Of another circuit it is another problem.
    const other = document('gas-in-circuit', ['2'], { subject: { kind: 'circuit', circuit: 2 } });
    expect(reconcileDiagnoses(1, [open('7', gas)], [other])).toMatchObject({
      opened: [{ subjectKey: 'circuit/2' }],
      ended: ['7'],
    });
  });

  it('are told apart by what points to them, not by what follows from them', () => {
    const bias = document('sensor-wrong', ['1', '2'], { consequences: ['2'] });
    const hunts = document('loop-tuned-too-hard', ['2']);
    expect(reconcileDiagnoses(1, [open('7', bias)], [hunts])).toMatchObject({
      opened: [{ document: hunts }],
      ended: ['7'],
    });
  });

  it('are paired with the likest of several', () => {
    const first = document('something-else', ['1']);
    const second = document('something-else', ['2']);
    const changes = reconcileDiagnoses(1, [open('7', second), open('8', first)], [first, second]);
    expect(changes).toEqual(none);
  });
});
