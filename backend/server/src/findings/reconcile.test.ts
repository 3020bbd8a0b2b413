import { statement, type Finding } from '@coldrounds/core';
import { describe, expect, it } from 'vitest';
import type { OpenFinding } from '../storage/repositories/findings/finding.repository.js';
import { reconcile } from './reconcile.js';

const finding = (condition: string, urgency: Finding['urgency'] = 'this-week'): Finding => ({
  condition,
  subject: { kind: 'circuit', circuit: 1 },
  headline: statement('Superheat swings.'),
  reasons: [],
  explanations: [],
  separatingCheck: null,
  certainty: 'likely',
  urgency,
  waiting: { score: 10, sentence: statement('It costs.') },
  visit: [],
  hazards: ['pressure'],
  firstSeen_s: 0,
  lastSeen_s: 1,
});

const open = (condition: string, change: Partial<OpenFinding> = {}): OpenFinding => ({
  id: 7,
  unitId: 1,
  subjectKey: 'circuit/1',
  condition,
  source: 'circuit/1',
  urgency: 'this-week',
  certainty: 'likely',
  provisional: false,
  absentCount: 0,
  absentSince_s: null,
  ...change,
});

const settled = (dataUntil_s: number) => ({ settled: true, dataUntil_s });

describe('reconcile', () => {
  it('opens what is new and marks it provisional while history comes in', () => {
    expect(reconcile([], [finding('hunting')], { settled: false, dataUntil_s: 0 }).opened).toMatchObject([
      { subjectKey: 'circuit/1', provisional: true },
    ]);
  });

  it('says that a known finding changed only when its urgency or certainty did', () => {
    expect(reconcile([open('hunting')], [finding('hunting')], settled(0)).updated[0].changed).toBe(false);
    expect(reconcile([open('hunting')], [finding('hunting', 'today')], settled(0)).updated[0].changed).toBe(
      true,
    );
  });

  it('does not end a finding at its first absence, nor at a second on the same data', () => {
    expect(reconcile([open('hunting')], [], settled(1000)).absent).toEqual([
      { id: 7, count: 1, since_s: 1000 },
    ]);
    const again = reconcile([open('hunting', { absentCount: 1, absentSince_s: 1000 })], [], settled(1000));
    expect(again.ended).toEqual([]);
    expect(again.absent).toEqual([{ id: 7, count: 2, since_s: 1000 }]);
  });

  it('ends a finding that stays absent for an hour of data', () => {
    const absentLong = open('hunting', { absentCount: 1, absentSince_s: 1000 });
    expect(reconcile([absentLong], [], settled(4600)).ended).toEqual([7]);
  });

  it('ends at once what is disproven, and nothing else', () => {
    const context = { ...settled(1000), disproven: ['closing-unproven'] };
    expect(reconcile([open('closing-unproven')], [], context).ended).toEqual([7]);
    expect(reconcile([open('reserve-fading')], [], context).ended).toEqual([]);
    expect(reconcile([open('closing-unproven')], [finding('closing-unproven')], context).ended).toEqual([]);
  });

  it('ends a provisional finding at once', () => {
    expect(reconcile([open('hunting', { provisional: true })], [], settled(0)).ended).toEqual([7]);
  });
});
