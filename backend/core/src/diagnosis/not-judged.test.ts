import { describe, expect, it } from 'vitest';
import type { Finding } from './finding.js';
import { withoutNotJudged, conditionsNotJudged, notJudgedOn, withWhatIsNotJudged } from './not-judged.js';
import { sensorFinding } from './sample-sensor-finding.js';
import { quantity, statement } from './statement.js';

const notJudged = (finding: Finding, circuit = 1) => conditionsNotJudged(notJudgedOn([finding], circuit));

describe('what is not judged while a sensor is wrong', () => {
  it('is every claim on the level of superheat, where a suction sensor reads wrong', () => {
    for (const condition of ['sensor-bias', 'gauge-taken-for-absolute', 'value-frozen', 'sensor-loose'])
      expect(notJudged(sensorFinding(condition, 'suction-temperature'))).toEqual(
        expect.arrayContaining(['floodback-risk', 'starved', 'superheat-off-setpoint', 'headroom']),
      );
  });

  it('is hunting only where the swing may be the sensor’s own', () => {
    expect(notJudged(sensorFinding('value-clipped', 'suction-pressure'))).toContain('hunting');
    expect(notJudged(sensorFinding('transducers-swapped', 'suction-pressure'))).toContain('hunting');
    expect(notJudged(sensorFinding('sensor-bias', 'suction-pressure'))).not.toContain('hunting');
  });

  it('is never what the valve itself shows', () => {
    for (const condition of ['transducers-swapped', 'wrong-refrigerant', 'sensor-loose']) {
      const conditions = notJudged(sensorFinding(condition, 'suction-pressure'));
      expect(conditions).not.toContain('valve-at-limit');
      expect(conditions).not.toContain('valve-wear');
    }
  });

  it('is every other cause of a valve at its limit: the controller acts on what it is told', () => {
    const atLimit = sensorFinding('valve-at-limit', '', {
      subject: { kind: 'circuit', circuit: 1 },
      explanations: [{ cause: 'a restricted liquid line', weight: 0.7, supports: [], contradicts: [] }],
    });
    const loose = notJudgedOn([sensorFinding('sensor-loose', 'suction-temperature')], 1);
    const [kept] = withoutNotJudged([atLimit, sensorFinding('starved', '')], loose);
    expect(kept!.condition).toBe('valve-at-limit');
    expect(kept!.explanations.map(({ cause }) => cause)).toEqual([expect.stringMatching(/measured wrong/)]);
    expect(withoutNotJudged([atLimit], notJudgedOn([], 1))).toEqual([atLimit]);
  });

  it('is nothing for single wrong samples, which are taken out one by one', () => {
    expect(notJudged(sensorFinding('value-jumping', 'suction-pressure'))).toEqual([]);
  });

  it('is nothing of superheat for a sensor of the high side, for scatter, or on another circuit', () => {
    expect(notJudged(sensorFinding('sensor-bias', 'discharge-pressure'))).toEqual([
      'undercharge-suspected',
      'condenser-fouling-suspected',
    ]);
    expect(notJudged(sensorFinding('value-noisy', 'suction-pressure'))).toEqual([]);
    expect(notJudged(sensorFinding('sensor-bias', 'suction-pressure'), 2)).toEqual([]);
  });

  it('is everything on the level of superheat where a wrong gauge setting is only possible, headroom too', () => {
    const possible = sensorFinding('gauge-taken-for-absolute', 'suction-pressure', {
      certainty: 'possible',
      error: { bias: -101_325, uncertainty: 1500 },
    });
    expect(notJudged(possible)).toEqual(expect.arrayContaining(['headroom', 'floodback-risk', 'starved']));
  });

  it('is nothing that is corrected for a measured error, but every figure as it was read', () => {
    const measured = sensorFinding('sensor-bias', 'suction-temperature', {
      error: { bias: 5, uncertainty: 0.3 },
    });
    expect(notJudged(measured)).toEqual([]);
    expect(notJudgedOn([measured], 1, 'as-read').superheatLevel).toBe(true);
    const [said] = withWhatIsNotJudged([measured]);
    expect(said!.reasons.at(-1)!.text).toContain('recomputed without this error');
  });

  it('is no lack of capacity where a wrong superheat drives the valve open: liquid is the danger', () => {
    const atLimit = (limit_pct: number) =>
      sensorFinding('valve-at-limit', '', {
        subject: { kind: 'circuit', circuit: 1 },
        headline: statement('The valve is at {limit}.', { limit: quantity('percent-opening', limit_pct) }),
      });
    const loose = notJudgedOn([sensorFinding('sensor-loose', 'suction-temperature')], 1);
    const waiting = (limit_pct: number) =>
      withoutNotJudged([atLimit(limit_pct)], loose)[0]!.waiting.sentence.text;
    expect(waiting(95)).toContain('reach the compressor');
    expect(waiting(95)).not.toContain('capacity');
    expect(waiting(10)).toContain('capacity is lost');
  });

  it('is a comparison of condensers too where another circuit of the unit reads its discharge wrong', () => {
    expect(notJudged(sensorFinding('value-clipped', 'discharge-pressure'), 2)).toEqual([
      'condenser-fouling-suspected',
    ]);
  });

  it('is said in the reasons of the sensor finding, once, and of no other', () => {
    const [suction, discharge] = withWhatIsNotJudged([
      sensorFinding('sensor-bias', 'suction-pressure'),
      sensorFinding('sensor-bias', 'discharge-pressure'),
    ]);
    expect(suction.reasons).toHaveLength(2);
    expect(suction.reasons[1].text).toContain('not judged until the sensor is fixed');
    expect(discharge.reasons).toHaveLength(1);
  });
});
