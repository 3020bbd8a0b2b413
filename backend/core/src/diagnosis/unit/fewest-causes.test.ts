import { describe, expect, it } from 'vitest';
import type { Cause } from '../cause.js';
import { causes } from '../cause.js';
import { finishFinding } from '../draft.js';
import { statement } from '../statement.js';
import { causeHeadline, causeName } from './cause-wording.js';
import { fewestCauses, type Symptom } from './fewest-causes.js';
import { explains } from './symptom-causes.js';

const symptom = (condition: string, suspects: [Cause, number][]): Symptom => ({
  finding: finishFinding(
    {
      condition,
      headline: statement(condition),
      reasons: [],
      certainty: 'likely',
      urgency: 'next-visit',
      score: 10,
      waiting: statement('Waits.'),
    },
    { subject: { kind: 'circuit', circuit: 1 }, hazards: [], firstSeen_s: 0, lastSeen_s: 1 },
  ),
  suspects: suspects.map(([cause, weight]) => ({ cause, weight })),
});

const hunting = symptom('hunting', [
  ['loop-tuned-too-hard', 0.7],
  ['valve-friction', 0.2],
]);
const floodback = symptom('floodback-risk', [
  ['setpoint-under-steady-floor', 0.25],
  ['something-else', 0.75],
]);
const wear = symptom('valve-wear', [['something-else', 1]]);

describe('the fewest causes', () => {
  it('put flooding and wear beneath the hunting that brings them', () => {
    const [only, ...others] = fewestCauses([floodback, wear, hunting]);
    expect(others).toEqual([]);
    expect(only.cause).toBe('loop-tuned-too-hard');
    expect(only.symptoms.map(({ condition }) => condition)).toEqual([
      'hunting',
      'floodback-risk',
      'valve-wear',
    ]);
    expect(only.rivals).toEqual([{ cause: 'valve-friction', weight: 0.2 }]);
  });

  it('put hunting beneath a wrong sensor where there is one', () => {
    const bias = symptom('sensor-bias', [['sensor-wrong', 0.95]]);
    const found = fewestCauses([hunting, floodback, bias]);
    expect(found.map(({ cause }) => cause)).toEqual(['sensor-wrong']);
  });

  it('name two faults that do not explain each other', () => {
    const departs = symptom('departs-from-normal', [
      ['condenser-fouled', 0.9],
      ['gas-in-circuit', 0.08],
    ]);
    const found = fewestCauses([hunting, departs]);
    expect(found.map(({ cause }) => cause).sort()).toEqual(['condenser-fouled', 'loop-tuned-too-hard']);
  });

  it('believe more where two symptoms point the same way, but never to certainty', () => {
    const departs = symptom('departs-from-normal', [['missing-refrigerant', 0.7]]);
    const undercharge = symptom('undercharge-suspected', [['missing-refrigerant', 0.6]]);
    const [alone] = fewestCauses([departs]);
    const [both] = fewestCauses([departs, undercharge]);
    expect(both.weight).toBeGreaterThan(alone.weight);
    expect(both.weight).toBeLessThan(0.88);
  });

  it('leave what nothing explains to something else, one by one', () => {
    const found = fewestCauses([wear, symptom('valve-at-limit', [['something-else', 1]])]);
    expect(found.map(({ cause }) => cause)).toEqual(['something-else', 'something-else']);
  });

  it('are none of no symptoms', () => expect(fewestCauses([])).toEqual([]));
});

describe('the wording', () => {
  it('has a sentence for every cause, and says how sure it is', () => {
    for (const cause of causes) expect(causeName(cause).length).toBeGreaterThan(8);
    expect(causeHeadline('condenser-fouled', 0.95).text).toBe('The condenser is fouled.');
    expect(causeHeadline('condenser-fouled', 0.7).text).toBe('Probably, the condenser is fouled.');
    expect(causeHeadline('condenser-fouled', 0.4).text).toMatch(/^Perhaps the condenser is fouled/);
  });

  it('does not let a fouled condenser explain hunting', () => {
    expect(explains('condenser-fouled', 'hunting')).toBe(false);
    expect(explains('gas-in-circuit', 'condenser-fouling-suspected')).toBe(true);
  });
});
