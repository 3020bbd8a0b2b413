import { describe, expect, it } from 'vitest';
import { only, r134a, saturated, state } from './sample-channels.js';
import { normalOf, off } from './sample-departures.js';
import { weighCausesOfDepartures } from './weigh-causes.js';

/** A likelihood counts by its power of 0.6 (coarsened posterior, Miller & Dunson 2019; the power is judgement). */
const density = (x: number, deviation: number) => (normalDensity(x / deviation) / deviation) ** 0.6;
/** Of a normal variable, for the prior of a severity. */
const normalDensity = (z: number) => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);

/** Mean of a likelihood over log-normal severities, by the trapezoid rule from -6 to 6 standard deviations. */
function overSeverity(median: number, spread: number, likelihood: (severity: number) => number): number {
  let sum = 0;
  for (let z = -6; z <= 6; z += 0.001)
    sum += 0.001 * normalDensity(z) * likelihood(median * Math.exp(spread * z));
  return sum;
}

/** An effect is uncertain by 15 % of itself, and any quantity by 5 % of the largest effect (judgement, no source). */
const modelError = Math.hypot(0.15, 0.05);

/** What is none of the known causes scatters by 3, 8, 20 or 50 usual scatters (judgement, no source); its prior probability is 1/20. */
const elseEvidence = (difference: number, deviation: number, usual: number) =>
  (0.05 / 4) *
  [3, 8, 20, 50].reduce((sum, scale) => sum + density(difference, Math.hypot(deviation, scale * usual)), 0);

const weightsOf = (...of: Parameters<typeof weighCausesOfDepartures>) =>
  Object.fromEntries(weighCausesOfDepartures(...of).map(({ cause, weight }) => [cause, weight]));

describe('causes of a condenser flow that departs', () => {
  const machine = r134a();
  // Where the flow alone is known: too little of it, a meter that is wrong, or something else.
  const at = only({ condenserFlow_m3_s: 1 });
  const normal = normalOf({ condenserFlow_m3_s: 1 });
  const deviation = 0.02;

  /** Bayes' rule with the three: a tenth less flow, or a meter 7 % off either way, for each unit of severity. */
  function byBayes(difference: number) {
    const given = {
      'condenser-flow-low':
        0.12 *
        overSeverity(1.5, 0.8, (s) =>
          density(difference + 0.1 * s, Math.hypot(deviation, modelError * 0.1 * s)),
        ),
      'sensor-wrong':
        0.14 *
        overSeverity(
          1,
          0.9,
          (s) => (density(difference - 0.07 * s, deviation) + density(difference + 0.07 * s, deviation)) / 2,
        ),
      'something-else': elseEvidence(difference, deviation, 0.005),
    };
    const total = Object.values(given).reduce((sum, one) => sum + one, 0);
    return Object.fromEntries(Object.entries(given).map(([cause, one]) => [cause, one / total]));
  }

  it.each([-0.3, -0.15, -0.07, -0.02, 0.07, 0.2])('of %d are weighed by Bayes’ rule', (difference) => {
    const found = weightsOf(machine, normal, [off(at, { condenserFlow_m3_s: [difference, deviation] })]);
    const expected = byBayes(difference);
    expect(Object.keys(found).sort()).toEqual(Object.keys(expected).sort());
    for (const [cause, weight] of Object.entries(expected))
      expect(Math.abs(found[cause]! - weight)).toBeLessThan(0.012);
  });

  it('come likeliest first, with weights that add up to 1', () => {
    const found = weighCausesOfDepartures(machine, normal, [
      off(at, { condenserFlow_m3_s: [-0.2, deviation] }),
    ]);
    const weights = found.map(({ weight }) => weight);
    expect(weights.reduce((sum, weight) => sum + weight, 0)).toBeCloseTo(1, 9);
    expect([...weights].sort((a, b) => b - a)).toEqual(weights);
    expect(found[0]!.cause).toBe('condenser-flow-low');
  });

  it('have the severity that fits best: 0.2 is two tenths less flow, or 2.86 times 7 %, upwards by the meter alone', () => {
    const severities = (difference: number) =>
      Object.fromEntries(
        weighCausesOfDepartures(machine, normal, [
          off(at, { condenserFlow_m3_s: [difference, deviation] }),
        ]).map(({ cause, severity }) => [cause, severity]),
      );
    // An error that grows with the severity draws it down: within that error, 15 % of it.
    expect(Math.abs(severities(-0.2)['condenser-flow-low']! - 2)).toBeLessThan(0.3);
    expect(severities(-0.2)['sensor-wrong']).toBeCloseTo(-0.2 / 0.07, 6);
    expect(severities(0.2)['sensor-wrong']).toBeCloseTo(0.2 / 0.07, 6);
    // No severity over three standard deviations of its logarithm: exp(2.4) of 1.5.
    expect(severities(-10)['condenser-flow-low']).toBeCloseTo(1.5 * Math.exp(2.4), 6);
  });

  it('are something else where no flow could be so far off', () => {
    const [first] = weighCausesOfDepartures(machine, normal, [
      off(at, { condenserFlow_m3_s: [0.2, deviation] }),
    ]);
    expect(first!.cause).toBe('sensor-wrong');
    const [far] = weighCausesOfDepartures(machine, normal, [off(at, { condenserFlow_m3_s: [3, 0.02] })]);
    expect(far!.cause).toBe('something-else');
  });

  it('name the meter that is likeliest', () => {
    const sensor = weighCausesOfDepartures(machine, normal, [
      off(at, { condenserFlow_m3_s: [0.1, deviation] }),
    ])[0]!;
    expect(sensor).toMatchObject({ cause: 'sensor-wrong', channel: 'condenserFlow_m3_s' });
  });

  it('are none where nothing could be compared', () => {
    expect(weighCausesOfDepartures(machine, normal, [])).toEqual([]);
    expect(weighCausesOfDepartures(machine, normal, [off(at, {})])).toEqual([]);
  });

  it('are only something else where no cause moves what departs', () => {
    // No channel of it is there to be moved.
    const found = weighCausesOfDepartures(machine, normalOf({ superheat_K: 6 }), [
      off(only({}), { superheat_K: [3, 0.3] }),
    ]);
    expect(found).toEqual([{ cause: 'something-else', weight: 1, severity: 1 }]);
  });

  it('are weighed at the mean of the plateaus, missing values left out', () => {
    // 0.8 and 1.2 are 1 on average: the same as one plateau at 1 with half the variance.
    const two = [0.8, 1.2].map((flow) =>
      off(only({ condenserFlow_m3_s: flow }), { condenserFlow_m3_s: [-0.15, deviation] }),
    );
    const one = [off(at, { condenserFlow_m3_s: [-0.15, deviation / Math.SQRT2] })];
    const found = weightsOf(machine, normal, two);
    for (const [cause, weight] of Object.entries(weightsOf(machine, normal, one)))
      expect(found[cause]).toBeCloseTo(weight, 9);
    const missing = [at, only({})].map((values) => off(values, { condenserFlow_m3_s: [-0.15, deviation] }));
    for (const [cause, weight] of Object.entries(weightsOf(machine, normal, missing)))
      expect(found[cause]).toBeCloseTo(weight, 9);
  });
});

describe('two sensors of which either may be wrong', () => {
  const machine = r134a();
  const at = only({ suctionPressure_Pa: saturated(278), suctionTemperature_K: 284 });
  const normal = normalOf({ superheat_K: 6 });

  it('count together, and the likelier is named', () => {
    // 4 K too much: 1.5 K of the thermometer fit 2.7 times; 3 % of the pressure are 0.9 K, which fit 4.5 times.
    const found = weighCausesOfDepartures(machine, normal, [off(at, { superheat_K: [4, 0.3] })]);
    const sensors = found.filter(({ cause }) => cause === 'sensor-wrong');
    expect(sensors).toHaveLength(1);
    expect(sensors[0]!.channel).toBe('suctionTemperature_K');
    expect(sensors[0]!.severity).toBeCloseTo(4 / 1.5, 3);
    // Little too much: the pressure's usual error fits it better.
    const small = weighCausesOfDepartures(machine, normal, [off(at, { superheat_K: [0.5, 0.05] })]);
    expect(small.find(({ cause }) => cause === 'sensor-wrong')!.channel).toBe('suctionPressure_Pa');
  });
});

describe('a wide doubt of a pattern', () => {
  const machine = r134a();

  it('joins the errors of the comparison in proportion to the severity', () => {
    // A valve alone is sent: of what moves an opening, only restriction, lost steps, charge and something else are left.
    const at = only({ valveOpening_pct: 50 });
    const normal = normalOf({ valveOpening_pct: 50 });
    const [difference, deviation] = [10, 1];
    // Liquid at 0.6 of 8 K, 5 K of water, 2 K of approach where they are not known; a kelvin warmer takes 0.9 % more flow.
    const units = -Math.log(0.6);
    const gained = (0.05 * 0.35 * Math.log(7 / 2) * 130) / 5;
    const warmer = 8 * (Math.exp((-units * units) / (units + gained)) - 0.6);
    const missing = 50 * (0.009 * warmer + 0.03);
    const given: Record<string, number> = {
      'liquid-line-restricted':
        0.07 *
        overSeverity(1.2, 0.9, (s) =>
          density(difference - 7.5 * s, Math.hypot(deviation, 1.875 * s, modelError * 7.5 * s)),
        ),
      'missing-refrigerant':
        0.14 *
        overSeverity(1, 1, (s) =>
          density(difference - missing * s, Math.hypot(deviation, 3.5 * s, modelError * missing * s)),
        ),
      'valve-offset':
        0.05 *
        overSeverity(1.2, 0.8, (s) => {
          const wide = Math.hypot(deviation, modelError * 5 * s);
          return (density(difference - 5 * s, wide) + density(difference + 5 * s, wide)) / 2;
        }),
      'valve-leaks-by':
        0.04 *
        overSeverity(1, 0.8, (s) => density(difference + 3 * s, Math.hypot(deviation, modelError * 3 * s))),
      'something-else': elseEvidence(difference, deviation, 0.02),
    };
    const found = weightsOf(machine, normal, [off(at, { valveOpening_pct: [difference, deviation] })]);
    const among = Object.keys(given).filter((cause) => cause !== 'something-else');
    const [sum, all] = [
      among.reduce((total, cause) => total + given[cause]!, 0),
      among.reduce((total, cause) => total + (found[cause] ?? 0), 0),
    ];
    for (const cause of among)
      expect(Math.abs((found[cause] ?? 0) / all - given[cause]! / sum)).toBeLessThan(0.03);
  });
});

describe('faults at the whole state', () => {
  const machine = r134a();
  // Flow and power are compared as shares of what they usually are.
  const normal = {
    ...normalOf({ condenserApproach_K: 3, subcooling_K: 5, condenserFlow_m3_s: 1, compressorPower_W: 1 }),
    reference: {
      condenserApproach_K: 1,
      subcooling_K: 1,
      condenserFlow_m3_s: 0.025,
      compressorPower_W: 104_500,
    },
  };
  const first = (approach: number, subcooling: number, flow: number) =>
    weighCausesOfDepartures(machine, normal, [
      off(state, {
        condenserApproach_K: [approach, 0.1],
        subcooling_K: [subcooling, 0.2],
        condenserFlow_m3_s: [flow, 0.008],
        compressorPower_W: [approach / 30, 0.015],
      }),
    ])[0]!.cause;

  it('are told apart by what moves with the approach: subcooling with gas, not with fouling; the flow with little flow', () => {
    expect(first(2, 0.3, 0)).toBe('condenser-fouled');
    expect(first(2, 1.8, 0)).toBe('gas-in-circuit');
    expect(first(0, -3, 0)).not.toBe('condenser-fouled');
  });
});

describe('a condenser of which nothing tells how it is cooled', () => {
  const machine = r134a();
  const at = {
    ...state,
    condenserEnteringTemperature_K: NaN,
    condenserLeavingTemperature_K: NaN,
    condenserFlow_m3_s: NaN,
    compressorPower_W: NaN,
  };
  const sample = normalOf({
    subcooling_K: 5,
    dischargeSuperheat_K: 21,
    evaporatorFlow_m3_s: 1,
    valveOpening_pct: 1,
  });
  const known = {
    ...sample,
    reference: { ...sample.reference, evaporatorFlow_m3_s: 0.02, valveOpening_pct: 50 },
  };
  const unread = {
    ...known,
    condensing: { coefficients: [304], inverse: [0], noise: 0.1, degreesOfFreedom: 50, plateaus: 100 },
  };
  // Water 4 K warmer: 1.5 K of discharge for each kelvin, a valve under more pressure, 5 % less cooling; each known as far
  // as an unread coolant lets it.
  const warmer = off(at, {
    subcooling_K: [0.4, 0.4],
    dischargeSuperheat_K: [2, 1.6],
    evaporatorFlow_m3_s: [-0.05, 0.06],
    valveOpening_pct: [-0.08, 0.08],
  });
  const short = off(at, {
    subcooling_K: [-4, 0.4],
    dischargeSuperheat_K: [0, 1.6],
    evaporatorFlow_m3_s: [0, 0.06],
    valveOpening_pct: [0.1, 0.08],
  });

  it('may be cooled warmer than it was, which is no fault, sooner than be fouled or short of flow', () => {
    const found = weighCausesOfDepartures(machine, unread, [warmer]);
    expect(found[0]!.cause).toBe('something-else');
    expect(found[0]!.ofCoolant).toBeGreaterThan(0.5);
    expect(found[0]!.ofCoolant).toBeLessThanOrEqual(found[0]!.weight);
    const weights = weightsOf(machine, unread, [warmer]);
    for (const cause of ['condenser-fouled', 'condenser-flow-low'] as const)
      expect(weights[cause]).toBeLessThan(weightsOf(machine, known, [warmer])[cause]!);
  });

  it('leaves first what its coolant does not explain', () => {
    const [first, ...others] = weighCausesOfDepartures(machine, unread, [short]);
    expect(first!.cause).toBe('missing-refrigerant');
    expect(first!.weight).toBeGreaterThan(0.8);
    expect(others.find(({ cause }) => cause === 'something-else')!.ofCoolant).toBeLessThan(0.05);
    expect(weighCausesOfDepartures(machine, known, [short]).every((one) => one.ofCoolant === undefined)).toBe(
      true,
    );
  });
});
