import { describe, expect, it } from 'vitest';
import { isentropicDischarge, saturationPressure } from '../../../refrigerants/index.js';
import { assessCircuit } from '../../assess-circuit.js';
import { circuit } from '../../sample-circuit.js';
import { days, type Change } from '../../sample-window.js';
import { dischargeAtEfficiency } from './discharge-evidence.js';
import { window } from '../../sample-window.js';

const refrigerant = 'R134a';
const fahrenheit_K = 1 / 1.8;

const at = (superheat_K: number, dischargeTemperature_K: number): Change => ({
  superheat: {
    mean_K: superheat_K,
    median_K: superheat_K,
    minimum_K: superheat_K - 0.4,
    percentile1_K: superheat_K - 0.3,
    percentile5_K: superheat_K - 0.2,
    percentile95_K: superheat_K + 0.2,
    underLimitFraction: superheat_K < 2 ? 1 : 0,
    surelyUnderLimitFraction: superheat_K < 1.2 ? 1 : 0,
    possiblyUnderLimitFraction: superheat_K < 2.8 ? 1 : 0,
    setpoint_K: null,
    offset_K: null,
  },
  conditions: { dischargeTemperature_K },
});
const discharge = (efficiency: number) => dischargeAtEfficiency(window(0), refrigerant, efficiency)!;
const lossless_K = isentropicDischarge(
  refrigerant,
  saturationPressure(refrigerant, 276, 'dew'),
  276,
  saturationPressure(refrigerant, 312, 'dew'),
).temperature_K;

describe.each(['flooded', 'falling-film'] as const)('a machine with a %s evaporator', (evaporator) => {
  const findings = (windows: ReturnType<typeof days>, sensors = {}) =>
    assessCircuit({ windows, refrigerant, circuit, evaporator, ...sensors }).findings;

  it('in health, at the superheat that was measured on one, yields no finding of any kind', () => {
    // PUBLISHED, measured: ASHRAE RP-1043 (Comstock & Braun 1999), normal run, R134a: superheat 4.8, 6.0 and 0.8 F.
    for (const superheat_F of [4.8, 6.0, 0.8])
      expect(findings(days(7, at(superheat_F * fahrenheit_K, discharge(0.75))))).toEqual([]);
  });

  it('in health, with little subcooling, is not suspected of missing refrigerant', () => {
    const change = at(1.5, discharge(0.75));
    const little = { ...change, conditions: { ...change.conditions, subcooling_K: 0.5 } };
    expect(findings(days(7, little))).toEqual([]);
  });

  it('is not judged by the discharge without a history of its own, however cold', () => {
    expect(findings(days(7, at(1, lossless_K - 5)))).toEqual([]);
  });

  it('floods back where its discharge has fallen below that of dry vapour', () => {
    const windows = [...days(14, at(1, discharge(0.75))), ...days(7, at(1, lossless_K - 5), 14)];
    const [found] = findings(windows);
    expect(found!.condition).toBe('floodback-risk');
    expect(found!.urgency).toBe('today');
    expect(found!.certainty).toBe('likely');
    // What is missing: from 75 % efficiency down to lossless, and 5 K more.
    expect(found!.headline.quantities.missing!.value).toBeCloseTo(discharge(0.75) - lossless_K + 5, 6);
  });

  it('is not judged by superheat that swings, nor by where its level valve stands, for more than watching', () => {
    const list = findings(
      days(7, {
        ...at(1.5, discharge(0.75)),
        valve: { nearOpenFraction: 0.9, mean_pct: 97, minimum_pct: 90, maximum_pct: 100 },
      }).map((one) => ({
        ...one,
        oscillation: {
          ...one.oscillation,
          oscillating: true,
          period_s: 200,
          amplitude: 2.5,
          cycles: 30,
          huntingMinutes: 120,
        },
      })),
    );
    expect(list.map(({ condition, urgency }) => [condition, urgency])).toEqual([['hunting', 'watch']]);
  });

  it('is only possibly so where the discharge has fallen but dry vapour can still be that cold', () => {
    const windows = [...days(14, at(1, discharge(0.6))), ...days(7, at(1, discharge(0.95)), 14)];
    const [found] = findings(windows);
    expect(found!.certainty).toBe('possible');
    expect(found!.urgency).toBe('next-visit');
  });

  it('is not judged so while the discharge sensor is found wrong', () => {
    const windows = [...days(14, at(1, discharge(0.75))), ...days(7, at(1, lossless_K - 5), 14)];
    const wrong = {
      condition: 'value-frozen',
      certainty: 'certain',
      subject: { kind: 'sensor', circuit: 1, sensor: 'discharge-temperature' },
    };
    expect(findings(windows, { sensors: [wrong] })).toEqual([]);
  });
});

describe('a superheat under the limit for most of the time, that is registered as dry-expansion', () => {
  const floodback = (change: Change) =>
    assessCircuit({ windows: days(7, change), refrigerant, circuit }).findings.find(
      ({ condition }) => condition === 'floodback-risk',
    )!;

  it('is only watched where no setpoint is sent and the discharge is that of dry vapour', () => {
    const dry = floodback(at(0.8 * fahrenheit_K, discharge(0.75)));
    expect([dry.certainty, dry.urgency]).toEqual(['possible', 'watch']);
    expect(dry.headline.text).toMatch(/check whether the registered type, dry expansion, is right/);
    expect(floodback({ ...at(0.5, 0), conditions: { dischargeTemperature_K: null } }).urgency).toBe('watch');
  });

  it('presses where the discharge is colder than any compressor makes it of dry vapour', () => {
    expect(floodback(at(0.8 * fahrenheit_K, lossless_K - 3)).urgency).toBe('today');
  });

  it('presses where the valve acts on it, where it is not calm, or the water leaves far over saturation', () => {
    const low = { ...at(0.8, 0), conditions: { dischargeTemperature_K: null } };
    expect(floodback({ ...low, valve: { followsSuperheat: 0.1 } }).urgency).toBe('watch');
    expect(floodback({ ...low, valve: { followsSuperheat: 0.9 } }).urgency).toBe('today');
    expect(floodback({ ...low, superheat: { ...low.superheat, percentile95_K: 5 } }).urgency).toBe('today');
    const far = { dischargeTemperature_K: null, evaporatingTemperature_K: 272 };
    expect(floodback({ ...low, conditions: far }).urgency).toBe('today');
  });

  it('that reads under 0 K by what the sensors leave open is only watched, too', () => {
    const change = { ...at(-0.3, 0), conditions: { dischargeTemperature_K: null } };
    const list = assessCircuit({ windows: days(7, change), refrigerant, circuit }).findings;
    expect(list.map(({ condition, urgency }) => [condition, urgency])).toEqual([
      ['superheat-below-zero', 'watch'],
    ]);
  });

  it('is then not judged by where its level valve stands, nor by the cycles of its superheat', () => {
    const windows = days(7, {
      ...at(1.5, discharge(0.75)),
      valve: { nearOpenFraction: 0.9, mean_pct: 97, minimum_pct: 90, maximum_pct: 100, followsSuperheat: 0 },
    });
    const list = assessCircuit({ windows, refrigerant, circuit }).findings;
    expect(list.map(({ condition, urgency }) => [condition, urgency])).toEqual([['floodback-risk', 'watch']]);
  });

  it('presses where a controller holds it there, whatever the discharge is', () => {
    const change = at(1, discharge(0.7));
    const held = (setpoint_K: number) =>
      floodback({ ...change, superheat: { ...change.superheat, setpoint_K, offset_K: 1 - setpoint_K } });
    expect(held(2).urgency).toBe('today');
    expect(held(6).urgency).toBe('watch');
  });

  it('presses where it dips, of which a mean discharge tells nothing', () => {
    const change = at(1.5, discharge(0.7));
    const dips = {
      ...change.superheat,
      percentile95_K: 7,
      underLimitFraction: 0.45,
      surelyUnderLimitFraction: 0.2,
    };
    expect(floodback({ ...change, superheat: dips }).urgency).toBe('today');
    // Of a machine that sends neither setpoint nor opening nothing shows that a valve holds its superheat.
    const windows = days(7, { ...change, superheat: dips }).map((one) => ({ ...one, valve: null }));
    const [found] = assessCircuit({ windows, refrigerant, circuit }).findings;
    expect([found!.condition, found!.urgency]).toEqual(['floodback-risk', 'watch']);
  });
});

it('a dry-expansion evaporator at 0.8 F of superheat still floods back', () => {
  const windows = days(7, at(0.8 * fahrenheit_K, discharge(0.75)));
  const list = assessCircuit({ windows, refrigerant, circuit }).findings;
  expect(list.map(({ condition }) => condition)).toContain('floodback-risk');
});
