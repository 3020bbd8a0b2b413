import { describe, expect, it } from 'vitest';
import type { Cause } from '../../cause.js';
import { finishFinding } from '../../draft.js';
import type { Explanation, Finding } from '../../finding.js';
import { sensorFinding } from '../../sample-sensor-finding.js';
import { statement } from '../../statement.js';
import { causeName } from './cause-wording.js';
import type { Symptom } from './fewest-causes.js';
import { suspectsOf } from './symptom-causes.js';
import { weighedWithStandstill } from './with-standstill.js';

/** A departure with causes, of wrong sensors one sensor alone. */
function departure(causes: [Cause, number][], sensor = 'discharge-pressure'): Finding {
  const explanations: Explanation[] = causes.map(([cause, weight]) => ({
    cause: causeName(cause),
    weight,
    ...(cause === 'sensor-wrong' ? { sensors: [{ sensor, weight }] } : {}),
    supports: [],
    contradicts: [],
  }));
  return finishFinding(
    {
      condition: 'departs-from-normal',
      headline: statement('It departs.'),
      reasons: [],
      explanations,
      certainty: 'certain',
      urgency: 'this-week',
      score: 40,
      waiting: statement('It waits.'),
    },
    { subject: { kind: 'circuit', circuit: 1 }, hazards: [], firstSeen_s: 0, lastSeen_s: 1 },
  );
}
const high = (condition = 'sensor-bias', sensor = 'discharge-pressure', bias = 3e4) =>
  sensorFinding(condition, sensor, { error: { bias, uncertainty: 2000 } });
const symptoms = (findings: Finding[]): Symptom[] =>
  findings.map((finding) => ({ finding, suspects: suspectsOf(finding) }));
const weight = ({ suspects }: Symptom, cause: Cause) =>
  suspects.find((one) => one.cause === cause)?.weight ?? 0;

describe('a discharge pressure that reads high at standstill', () => {
  it('is gas where power, discharge and valve say so while running, and the transducer where they do not', () => {
    const [running, standing] = weighedWithStandstill(
      symptoms([
        departure([
          ['gas-in-circuit', 0.8],
          ['sensor-wrong', 0.05],
          ['condenser-fouled', 0.15],
        ]),
        high(),
      ]),
    );
    // Bayes' rule: 0.7 x 0.8, 1 x 0.05 and 0.05 x 0.15 (judgement, no source).
    const total = 0.56 + 0.05 + 0.0075;
    expect(weight(running!, 'gas-in-circuit')).toBeCloseTo(0.56 / total, 9);
    expect(weight(standing!, 'gas-in-circuit')).toBeCloseTo((0.56 + 0.0075 * 0.4) / total, 9);
    expect(weight(standing!, 'sensor-wrong')).toBeLessThan(0.1);
    const [, wrong] = weighedWithStandstill(
      symptoms([
        departure([
          ['sensor-wrong', 0.9],
          ['gas-in-circuit', 0.05],
        ]),
        high(),
      ]),
    );
    expect(weight(wrong!, 'sensor-wrong')).toBeGreaterThan(0.9);
  });

  it('is gas beside a suction thermometer that is off at standstill too: neither makes the other less likely', () => {
    const causes: [Cause, number][] = [
      ['sensor-wrong', 0.97],
      ['gas-in-circuit', 0.53],
      ['condenser-flow-low', 0.33],
      ['condenser-fouled', 0.1],
    ];
    const [running] = weighedWithStandstill(
      symptoms([
        departure(causes, 'suction-temperature'),
        high(),
        high('sensor-bias', 'suction-temperature', 2),
      ]),
    );
    // The thermometer is there for sure: of gas against too little water or fouling, 0.7 x 0.53 stand against 0.05 x 0.43.
    const gas = weight(running!, 'gas-in-circuit');
    const others = weight(running!, 'condenser-flow-low') + weight(running!, 'condenser-fouled');
    expect(gas / (gas + others)).toBeGreaterThan(0.9);
    expect(gas).toBeGreaterThan(0.75);
    expect(weight(running!, 'sensor-wrong')).toBeGreaterThan(0.9);
  });

  // A condenser whose valve is shut keeps its gas: its pressure lies above that of the evaporator at the same temperature.
  it('is as much gas where it is known to lie above the suction pressure alone, and either transducer where one is wrong', () => {
    const above = sensorFinding('sensor-bias', 'discharge-pressure', {
      explanations: [
        'the discharge pressure transducer reads too high',
        'the suction pressure transducer reads too low',
      ].map((cause) => ({ cause, weight: 0.5, supports: [], contradicts: [] })),
    });
    const [, standing] = weighedWithStandstill(
      symptoms([
        departure([
          ['gas-in-circuit', 0.5],
          ['condenser-fouled', 0.5],
        ]),
        above,
      ]),
    );
    expect(weight(standing!, 'gas-in-circuit')).toBeGreaterThan(0.9);
    const [running, sensor] = weighedWithStandstill(
      symptoms([
        departure(
          [
            ['sensor-wrong', 0.9],
            ['gas-in-circuit', 0.1],
          ],
          'suction-pressure',
        ),
        above,
      ]),
    );
    expect(weight(sensor!, 'sensor-wrong')).toBeGreaterThan(0.9);
    expect(weight(running!, 'sensor-wrong')).toBeGreaterThan(0.9);
  });

  it('makes a fouled condenser unlikely, which does not show at standstill', () => {
    const [running] = weighedWithStandstill(
      symptoms([
        departure([
          ['condenser-fouled', 0.6],
          ['gas-in-circuit', 0.4],
        ]),
        high(),
      ]),
    );
    expect(weight(running!, 'gas-in-circuit')).toBeGreaterThan(0.8);
    expect(running!.suspects.reduce((sum, one) => sum + one.weight, 0)).toBeCloseTo(1, 9);
  });

  it('says as much as by itself where the departure is another one', () => {
    const [, standing] = weighedWithStandstill(symptoms([departure([['evaporator-fouled', 0.99]]), high()]));
    expect(weight(standing!, 'sensor-wrong')).toBeCloseTo(0.6, 2);
    expect(weight(standing!, 'gas-in-circuit')).toBeCloseTo(0.4, 2);
  });

  it('is no gas where it reads low, or where another sensor is off', () => {
    for (const finding of [
      high('sensor-bias', 'discharge-pressure', -3e4),
      high('sensor-bias', 'liquid-temperature', 2),
    ]) {
      const [, standing] = weighedWithStandstill(symptoms([departure([['gas-in-circuit', 0.9]]), finding]));
      expect(weight(standing!, 'gas-in-circuit')).toBe(0);
    }
  });

  it('is left as it is without a departure, and a departure without it', () => {
    const alone = symptoms([high()]);
    expect(weighedWithStandstill(alone)).toEqual(alone);
    const running = symptoms([departure([['gas-in-circuit', 0.9]])]);
    expect(weighedWithStandstill(running)).toEqual(running);
  });
});

describe('a reading that is off by about an atmosphere', () => {
  it('is the sensor’s error where it has read otherwise when normal was learned, else the registry’s', () => {
    const gauge = high('gauge-taken-for-absolute', 'discharge-pressure', 101_325);
    const [, changed] = weighedWithStandstill(symptoms([departure([['sensor-wrong', 0.99]]), gauge]));
    expect(weight(changed!, 'sensor-wrong')).toBeGreaterThan(0.8);
    expect(weight(changed!, 'registry-wrong')).toBeLessThan(0.2);
    const [, always] = weighedWithStandstill(symptoms([departure([['condenser-fouled', 0.99]]), gauge]));
    expect(weight(always!, 'registry-wrong')).toBeCloseTo(0.95, 9);
  });
});
