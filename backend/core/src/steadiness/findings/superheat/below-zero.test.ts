import { describe, expect, it } from 'vitest';
import { isentropicDischarge, saturationPressure } from '../../../refrigerants/index.js';
import { assessCircuit } from '../../assess-circuit.js';
import { circuit } from '../../sample-circuit.js';
import { days, type Change } from '../../sample-window.js';

const refrigerant = 'R134a';
/** Discharge of a lossless compressor on dry vapour at the samples' pressures: evaporating 276 K, condensing 312 K. */
const lossless_K = isentropicDischarge(
  refrigerant,
  saturationPressure(refrigerant, 276, 'dew'),
  276,
  saturationPressure(refrigerant, 312, 'dew'),
).temperature_K;

/** A week at a superheat that reads so on average, within 0.5 K either way, with a discharge temperature. */
const reading = (mean_K: number, dischargeTemperature_K: number | null): Change => ({
  superheat: {
    mean_K,
    median_K: mean_K,
    minimum_K: mean_K - 0.8,
    percentile1_K: mean_K - 0.7,
    percentile5_K: mean_K - 0.5,
    percentile95_K: mean_K + 0.5,
    underLimitFraction: mean_K < 1 ? 1 : 0,
    surelyUnderLimitFraction: mean_K < 0.2 ? 1 : 0,
    possiblyUnderLimitFraction: mean_K < 2 ? 1 : 0,
    offset_K: null,
    setpoint_K: null,
  },
  conditions: { dischargeTemperature_K },
});
const findings = (change: Change, name = refrigerant) =>
  assessCircuit({ windows: days(7, change), refrigerant: name, circuit }).findings;
const conditions = (change: Change) => findings(change).map(({ condition }) => condition);
const found = (change: Change) =>
  findings(change).find(({ condition }) => condition === 'superheat-below-zero');

describe('superheat under 0 K for long', () => {
  it('is a constant error where it reads 5 K under and the discharge is hot: no floodback is claimed', () => {
    const one = reading(-5, lossless_K + 12);
    expect(conditions(one)).toEqual(['superheat-below-zero']);
    expect(found(one)!.explanations[0]!.cause).toContain('constant error');
    expect(found(one)!.explanations[0]!.weight).toBeGreaterThan(0.9);
  });

  it('is liquid where it reads saturation and the discharge is too cold for dry vapour: floodback is claimed', () => {
    const one = reading(-0.4, lossless_K - 6);
    expect(conditions(one)).toEqual(['floodback-risk', 'superheat-below-zero']);
    expect(found(one)!.explanations[0]!.cause).toContain('liquid refrigerant');
  });

  it('is only watched where it reads saturation, the discharge is hot, and no setpoint is sent: an evaporator may be flooded', () => {
    const hot = reading(-0.4, lossless_K + 12);
    expect(found(hot)!.urgency).toBe('watch');
    const setpoint = { ...hot, superheat: { ...hot.superheat, setpoint_K: 6, offset_K: -6.4 } };
    expect(found(setpoint)!.urgency).toBe('this-week');
    expect(found(reading(-5, lossless_K + 12))!.urgency).toBe('this-week');
  });

  it('cannot be told where it reads saturation and no discharge temperature is sent, which is said', () => {
    const one = found(reading(-0.4, null))!;
    expect(one.explanations[0]!.weight).toBeLessThan(0.7);
    expect(one.reasons[0]!.text).toContain('cannot be told');
  });

  it('is a lagging sensor where superheat swings from under zero to well over it in each cycle', () => {
    const swings = reading(0.2, null);
    const windows = days(7, {
      superheat: {
        ...swings.superheat,
        minimum_K: -1,
        percentile1_K: -0.75,
        percentile5_K: -0.6,
        percentile95_K: 4,
      },
    }).map((one) => ({
      ...one,
      oscillation: {
        ...one.oscillation,
        oscillating: true,
        period_s: 120,
        amplitude: 3,
        huntingMinutes: 120,
      },
    }));
    const one = assessCircuit({ windows, refrigerant, circuit }).findings.find(
      ({ condition }) => condition === 'superheat-below-zero',
    )!;
    expect(one.explanations[0]!.cause).toContain('lags');
    expect(one.separatingCheck!.text).toMatch(/a constant error stays, liquid and lag do not/);
  });

  it('is no finding at 1 K, which vapour can have', () => {
    expect(found(reading(1, lossless_K + 12))).toBeUndefined();
  });

  it('of a blend may lie down to its glide in liquid: 3 K under the dew point of R407C is no impossible reading', () => {
    // COMPUTED, CoolProp 8.0.0: bubble and dew point of R407C at 0.5 MPa lie 6.2 K apart.
    const list = findings(reading(-3, null), 'R407C');
    const { explanations } = list.find(({ condition }) => condition === 'superheat-below-zero')!;
    expect(explanations[0]!.cause).toContain('liquid refrigerant');
  });
});
