import { describe, expect, it } from 'vitest';
import type { Cause } from '../../cause.js';
import { causes } from '../../cause.js';
import { finishFinding } from '../../draft.js';
import { statement } from '../../statement.js';
import { causeHeadline, causeName, checkBetween } from './cause-wording.js';
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

  it('name the likeliest of many for a departure that is spread over them, and none of them where that is likelier', () => {
    const spread = (unknown: number) =>
      symptom('departs-from-normal', [
        ['condenser-fouled', 0.22],
        ['condenser-flow-low', 0.21],
        ['compressor-weak', 0.2],
        ['evaporator-fouled', 0.37 - unknown],
        ['something-else', unknown],
      ]);
    const [first, ...others] = fewestCauses([spread(0.16), wear]);
    expect(first!.cause).toBe('condenser-fouled');
    expect(first!.weight).toBeCloseTo(0.22, 9);
    expect(others.map(({ cause }) => cause)).toEqual(['something-else']);
    expect(others[0]!.symptoms).toEqual([wear.finding]);
    expect(fewestCauses([spread(0.3)])[0]!.cause).toBe('something-else');
  });

  it('name two faults that do not explain each other', () => {
    const departs = symptom('departs-from-normal', [
      ['condenser-fouled', 0.9],
      ['gas-in-circuit', 0.08],
    ]);
    const found = fewestCauses([hunting, departs]);
    expect(found.map(({ cause }) => cause).sort()).toEqual(['condenser-fouled', 'loop-tuned-too-hard']);
  });

  it('make a cause likelier where two symptoms point to it, but never certain', () => {
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

  it('join two symptoms by the stronger and half of what independent evidence would add', () => {
    const departs = symptom('departs-from-normal', [['missing-refrigerant', 0.7]]);
    const undercharge = symptom('undercharge-suspected', [['missing-refrigerant', 0.6]]);
    // 1 - 0.3 x 0.4 = 0.88 together; half way from 0.7 to it.
    expect(fewestCauses([undercharge, departs])[0].weight).toBeCloseTo(0.79, 12);
    expect(fewestCauses([departs])[0].weight).toBeCloseTo(0.7, 12);
  });

  it('are not one that nothing points to by a quarter', () => {
    const at = (weight: number) => fewestCauses([symptom('hunting', [['valve-friction', weight]])])[0].cause;
    expect(at(0.25)).toBe('valve-friction');
    expect(at(0.249)).toBe('something-else');
  });

  it('count a consequence by 0.35 of what points to its cause (judgement, no source)', () => {
    // Friction: 0.6 and, for wear that follows from it, 0.35 x 0.6 = 0.21, 0.81 in all; a setpoint too high explains no wear.
    const chosen = (other: number) =>
      fewestCauses([
        symptom('hunting', [['valve-friction', 0.6]]),
        wear,
        symptom('headroom', [['setpoint-too-high', other]]),
      ])[0].cause;
    expect(chosen(0.8)).toBe('valve-friction');
    expect(chosen(0.82)).toBe('setpoint-too-high');
  });

  it('have the rivals of the symptom that tells most, likeliest first, from a fiftieth on', () => {
    const [only] = fewestCauses([
      symptom('hunting', [
        ['valve-friction', 0.6],
        ['load-swings', 0.1],
        ['valve-too-large', 0.2],
        ['measurement-noise', 0.019],
        ['loop-tuned-too-hard', 0.02],
      ]),
      symptom('valve-wear', [
        ['valve-friction', 0.3],
        ['something-else', 0.7],
      ]),
    ]);
    expect(only.rivals).toEqual([
      { cause: 'valve-too-large', weight: 0.2 },
      { cause: 'load-swings', weight: 0.1 },
      { cause: 'loop-tuned-too-hard', weight: 0.02 },
    ]);
  });

  it('have their symptoms with the most telling first, and take up what points to them weakly too', () => {
    const [only, ...others] = fewestCauses([
      symptom('valve-at-limit', [
        ['condenser-fouled', 0.1],
        ['something-else', 0.9],
      ]),
      symptom('condenser-fouling-suspected', [['condenser-fouled', 0.5]]),
      symptom('departs-from-normal', [['condenser-fouled', 0.8]]),
    ]);
    expect(others).toEqual([]);
    expect(only.symptoms.map(({ condition }) => condition)).toEqual([
      'departs-from-normal',
      'condenser-fouling-suspected',
      'valve-at-limit',
    ]);
  });

  it('say the larger problem first', () => {
    const found = fewestCauses([
      symptom('headroom', [['setpoint-too-high', 0.5]]),
      symptom('departs-from-normal', [['condenser-fouled', 0.9]]),
    ]);
    expect(found.map(({ cause }) => cause)).toEqual(['condenser-fouled', 'setpoint-too-high']);
    expect(found.map(({ symptoms }) => symptoms.length)).toEqual([1, 1]);
  });

  it('leave to something else what each symptom leaves for it', () => {
    expect(fewestCauses([wear])[0]).toMatchObject({ cause: 'something-else', weight: 1, rivals: [] });
    expect(fewestCauses([symptom('valve-wear', [])])[0].weight).toBe(0);
    const [of] = fewestCauses([
      symptom('floodback-risk', [
        ['valve-leaks-by', 0.2],
        ['something-else', 0.8],
      ]),
    ]);
    expect(of).toMatchObject({ weight: 0.8, rivals: [{ cause: 'valve-leaks-by', weight: 0.2 }] });
  });

  it('stay with the cause that was named before until another accounts for a quarter more', () => {
    const of = (gas: number, fouled: number) =>
      symptom('departs-from-normal', [
        ['condenser-fouled', fouled],
        ['gas-in-circuit', gas],
      ]);
    // From window to window the two take turns by a little.
    const windows = [of(0.42, 0.4), of(0.4, 0.43), of(0.43, 0.41), of(0.38, 0.46), of(0.44, 0.43)];
    const named: Cause[] = [];
    for (const window of windows) named.push(fewestCauses([window], new Set(named.slice(-1)))[0].cause);
    expect(new Set(named)).toEqual(new Set(['gas-in-circuit']));
    expect(new Set(windows.map((window) => fewestCauses([window])[0].cause)).size).toBe(2);
    // 1.25 x 0.4 = 0.5.
    const standing = new Set<Cause>(['gas-in-circuit']);
    expect(fewestCauses([of(0.4, 0.49)], standing)[0]).toMatchObject({
      cause: 'gas-in-circuit',
      weight: 0.4,
      rivals: [{ cause: 'condenser-fouled', weight: 0.49 }],
    });
    expect(fewestCauses([of(0.4, 0.51)], standing)[0].cause).toBe('condenser-fouled');
    // What nothing points to any more does not stay.
    expect(fewestCauses([of(0.2, 0.21)], standing)[0].cause).toBe('something-else');
    expect(fewestCauses([of(0, 0.6)], standing)[0].cause).toBe('condenser-fouled');
  });

  it('say a second one where two are there at once, though it is not told apart which', () => {
    const of = (fouled: number, flow: number) =>
      fewestCauses([
        symptom('departs-from-normal', [
          ['missing-refrigerant', 0.93],
          ['condenser-fouled', fouled],
          ['condenser-flow-low', flow],
          ['something-else', 0.05],
        ]),
      ]);
    // 0.93 + 0.39 + 0.28 + 0.05 is 0.65 more than 1.
    const [first, second, ...others] = of(0.39, 0.28);
    expect(first).toMatchObject({ cause: 'missing-refrigerant', weight: 0.93 });
    expect(second).toMatchObject({
      ...{ cause: 'condenser-fouled', weight: 0.39 },
      rivals: [{ cause: 'condenser-flow-low', weight: 0.28 }],
    });
    expect(others).toEqual([]);
    // 0.45 more: one alone is likelier.
    expect(of(0.27, 0.2)).toHaveLength(1);
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

  it('says a cause plainly from 0.9, probably from 0.6, else perhaps', () => {
    const text = (weight: number) => causeHeadline('condenser-fouled', weight).text;
    expect(text(0.9)).toBe('The condenser is fouled.');
    expect(text(0.899)).toMatch(/^Probably, /);
    expect(text(0.6)).toMatch(/^Probably, /);
    expect(text(0.599)).toMatch(/^Perhaps /);
    expect(causeHeadline('something-else', 0.95).text).toMatch(/^None of the known causes/);
  });

  it('names the sensor that reads wrong', () => {
    const sensor = { kind: 'sensor', circuit: 2, sensor: 'suction-temperature' } as const;
    expect(causeHeadline('sensor-wrong', 0.95, undefined, sensor).text).toBe(
      'The suction temperature sensor reads wrong.',
    );
    expect(causeHeadline('sensor-wrong', 0.95).text).toBe('A sensor reads wrong.');
  });

  it('says two causes that are about as likely both, unless they are there at once', () => {
    const text = (weight: number, rival: number) =>
      causeHeadline('condenser-fouled', weight, { cause: 'gas-in-circuit', weight: rival }).text;
    const both =
      'Perhaps the condenser is fouled, or there is non-condensable gas in the circuit; both are about as likely.';
    expect(text(0.45, 0.4)).toBe(both);
    expect(text(0.4, 0.45)).toBe(both);
    expect(text(0.5, 0.39)).toMatch(/^Perhaps the condenser is fouled\.$/);
    expect(text(0.6, 0.55)).toMatch(/^Probably, the condenser is fouled\.$/);
  });

  it('has the check of the cause itself, of the rival where the cause is unknown, none without a rival', () => {
    expect(checkBetween('condenser-fouled', undefined)).toBeNull();
    expect(checkBetween('condenser-flow-low', 'condenser-fouled')!.text).toMatch(
      /pressure drop across the condenser/,
    );
    expect(checkBetween('something-else', 'condenser-flow-low')).toEqual(
      checkBetween('condenser-flow-low', 'condenser-fouled'),
    );
  });

  it('does not let a fouled condenser explain hunting', () => {
    expect(explains('condenser-fouled', 'hunting')).toBe(false);
    expect(explains('gas-in-circuit', 'condenser-fouling-suspected')).toBe(true);
  });
});
