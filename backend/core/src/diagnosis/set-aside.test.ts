import { describe, expect, it } from 'vitest';
import type { Finding } from './finding.js';
import {
  asFarAsBelieved,
  conditionsSetAside,
  mergeWrongRefrigerant,
  setAsideBy,
  withSetAside,
} from './set-aside.js';
import { quantity, statement } from './statement.js';

const sensorFinding = (condition: string, sensor: string, change: Partial<Finding> = {}): Finding => ({
  condition,
  subject: { kind: 'sensor', circuit: 1, sensor },
  headline: statement('The circuit behaves like R513A, not like the registered R134a.'),
  reasons: [statement('It is off by {off}.', { off: quantity('temperature-difference', 2) })],
  explanations: [],
  separatingCheck: null,
  certainty: 'likely',
  urgency: 'this-week',
  waiting: { score: 40, sentence: statement('It costs.') },
  visit: [],
  hazards: [],
  firstSeen_s: 100,
  lastSeen_s: 200,
  ...change,
});

const aside = (finding: Finding, circuit = 1) => conditionsSetAside(setAsideBy([finding], circuit));

describe('what a wrong sensor sets aside', () => {
  it('is every claim on the level of superheat, where a suction sensor reads wrong', () => {
    for (const condition of ['sensor-bias', 'gauge-taken-for-absolute', 'value-frozen', 'sensor-loose'])
      expect(aside(sensorFinding(condition, 'suction-temperature'))).toEqual(
        expect.arrayContaining(['floodback-risk', 'starved', 'superheat-off-setpoint', 'headroom']),
      );
  });

  it('is hunting only where the swing may be the sensor’s own', () => {
    expect(aside(sensorFinding('value-jumping', 'suction-pressure'))).toContain('hunting');
    expect(aside(sensorFinding('transducers-swapped', 'suction-pressure'))).toContain('hunting');
    expect(aside(sensorFinding('sensor-bias', 'suction-pressure'))).not.toContain('hunting');
  });

  it('is never what the valve itself shows', () => {
    for (const condition of ['transducers-swapped', 'wrong-refrigerant', 'sensor-loose']) {
      const conditions = aside(sensorFinding(condition, 'suction-pressure'));
      expect(conditions).not.toContain('valve-at-limit');
      expect(conditions).not.toContain('valve-wear');
    }
  });

  it('is every other cause of a valve at its limit: the controller acts on what it is told', () => {
    const atLimit = sensorFinding('valve-at-limit', '', {
      subject: { kind: 'circuit', circuit: 1 },
      explanations: [{ cause: 'a restricted liquid line', weight: 0.7, speaksFor: [], speaksAgainst: [] }],
    });
    const loose = setAsideBy([sensorFinding('sensor-loose', 'suction-temperature')], 1);
    const [kept] = asFarAsBelieved([atLimit, sensorFinding('starved', '')], loose);
    expect(kept!.condition).toBe('valve-at-limit');
    expect(kept!.explanations.map(({ cause }) => cause)).toEqual([expect.stringMatching(/measured wrong/)]);
    expect(asFarAsBelieved([atLimit], setAsideBy([], 1))).toEqual([atLimit]);
  });

  it('is nothing of superheat for a sensor of the high side, for scatter, for what is only possible, or on another circuit', () => {
    expect(aside(sensorFinding('sensor-bias', 'discharge-pressure'))).toEqual([
      'undercharge-suspected',
      'condenser-fouling-suspected',
    ]);
    expect(aside(sensorFinding('value-noisy', 'suction-pressure'))).toEqual([]);
    expect(aside(sensorFinding('sensor-bias', 'suction-pressure', { certainty: 'possible' }))).toEqual([]);
    expect(aside(sensorFinding('sensor-bias', 'suction-pressure'), 2)).toEqual([]);
  });

  it('is a comparison of condensers too where another circuit of the unit reads its discharge wrong', () => {
    expect(aside(sensorFinding('value-clipped', 'discharge-pressure'), 2)).toEqual([
      'condenser-fouling-suspected',
    ]);
  });

  it('is said in the reasons of the sensor finding, once, and of no other', () => {
    const [suction, discharge] = withSetAside([
      sensorFinding('sensor-bias', 'suction-pressure'),
      sensorFinding('sensor-bias', 'discharge-pressure'),
    ]);
    expect(suction.reasons).toHaveLength(2);
    expect(suction.reasons[1].text).toContain('set aside');
    expect(discharge.reasons).toHaveLength(1);
  });
});

describe('a wrong refrigerant', () => {
  const on = (circuit: number, score: number) =>
    sensorFinding('wrong-refrigerant', 'suction-pressure', {
      subject: { kind: 'sensor', circuit, sensor: 'suction-pressure' },
      waiting: { score, sentence: statement('It costs.') },
    });

  it('on all circuits is one finding on the unit', () => {
    const other = sensorFinding('value-noisy', 'liquid-temperature');
    const merged = mergeWrongRefrigerant([on(1, 10), other, on(2, 30)], 2);
    expect(merged).toHaveLength(2);
    expect(merged[0]).toMatchObject({ subject: { kind: 'unit' }, waiting: { score: 30 } });
    expect(merged[0].headline.text).toBe(
      'All {circuits} circuits behave like R513A, not like the registered R134a.',
    );
    expect(merged[0].headline.quantities.circuits.value).toBe(2);
    expect(merged[1]).toBe(other);
  });

  it('on one circuit of two, or on the only one, stays where it is', () => {
    expect(mergeWrongRefrigerant([on(1, 10)], 2)[0].subject.kind).toBe('sensor');
    expect(mergeWrongRefrigerant([on(1, 10)], 1)[0].subject.kind).toBe('sensor');
  });
});
