import { describe, expect, it } from 'vitest';
import {
  isentropicDischarge,
  saturationPressure,
  saturationTemperature,
} from '../../../refrigerants/index.js';
import type { HuntingAssessment } from '../../circuit-assessment.js';
import { days, window, type Change } from '../../sample-window.js';
import { summarise } from '../../windows/summaries.js';
import type { WindowJudgement } from '../../windows/window-judgement.js';
import { belowZero } from '../superheat/below-zero.js';
import { undercharge } from './charge-findings.js';
import { condenserFouling } from './condenser-findings.js';
import { dischargeAtEfficiency, dischargeEvidence } from '../superheat/discharge-evidence.js';
import type { FindingContext } from '../finding-parts.js';
import { context } from '../sample-context.js';
import { floodedFloodback } from '../superheat/flooded-evaporator.js';
import { supplyCauseNames, supplyExplanations, type SupplyCause } from './liquid-supply.js';

const refrigerant = 'R134a';
const some = (count: number, change: Change = {}, from = 0) =>
  Array.from({ length: count }, (_, k) => window(from + k, change));

/** Log-odds of the explanations against one of them, which the softmax keeps. */
function against(explanations: { cause: string; weight: number }[], base: string): Record<string, number> {
  const zero = explanations.find(({ cause }) => cause === base)!.weight;
  return Object.fromEntries(
    explanations.map(({ cause, weight }) => [cause, Math.round(1e6 * Math.log(weight / zero)) / 1e6]),
  );
}

describe('the points of what keeps liquid from the valve (judgement, no source)', () => {
  const points = (week: WindowJudgement[], rest: Partial<FindingContext> = {}) => {
    const { explanations } = supplyExplanations(context(week, rest));
    expect(explanations!.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
    const odds = against(explanations!, supplyCauseNames['valve-does-not-open']);
    const keys = Object.keys(supplyCauseNames) as SupplyCause[];
    return keys.map((key) => odds[supplyCauseNames[key]] ?? null);
  };
  const unknown: Change = { conditions: { subcooling_K: null } };
  // In the order missing refrigerant, restriction, valve too small, valve does not open (always 0), hunting.
  const nothing = [1, 1, 0.5, 0, null];

  it('are a start of 0, 0, -0.5 and -1', () => {
    expect(points(some(3, unknown))).toEqual(nothing);
  });

  it('follow subcooling under 1.75 and over 3 K, from an hour on', () => {
    const at = (subcooling_K: number, minutes = 120) =>
      points([window(0, { superheat: { minutes }, conditions: { subcooling_K } })]);
    // 3, -1.5, -2 and -2.5: all but the first lose as much.
    expect(at(1.7499)).toEqual([5.5, 1, 0.5, 0, null]);
    expect(at(1.75)).toEqual(nothing);
    expect(at(3)).toEqual(nothing);
    expect(at(3.0001)).toEqual([-2, 2, 0.5, 0, null]);
    expect(at(1, 60)).toEqual([5.5, 1, 0.5, 0, null]);
    expect(at(1, 59.9)).toEqual(nothing);
  });

  it('follow by how much further open the valve is than before at like load', () => {
    const now: Change = { conditions: { subcooling_K: null, valveOpening_pct: 80, compressorLoad_pct: 70 } };
    const before = (valveOpening_pct: number, count = 2, compressorLoad_pct = 70) =>
      points(some(3, now, 100), {
        earlier: some(count, { conditions: { subcooling_K: null, valveOpening_pct, compressorLoad_pct } }),
      });
    const opened = [1.5, 1.7, -2, 0, null];
    expect(before(68)).toEqual(opened);
    expect(before(68.001)).toEqual([1, 0.5, 1.5, 0, null]);
    expect(before(68, 1)).toEqual(nothing);
    expect(before(68, 2, 85)).toEqual(opened);
    expect(before(68, 2, 55)).toEqual(opened);
    expect(before(68, 2, 85.001)).toEqual(nothing);
    // Under 80 % the valve is not far open.
    const short: Change = { conditions: { ...now.conditions, valveOpening_pct: 79.999 } };
    expect(points(some(3, short, 100), { earlier: some(2, unknown) })).toEqual(nothing);
  });

  it('give hunting three where it swings by 1.5 K for half of the time', () => {
    const swinging = (huntingMinutes: number, amplitude_K: number) => {
      const week = some(3, unknown).map((one): WindowJudgement => ({
        ...one,
        oscillation: { ...one.oscillation, oscillating: true, amplitude: 2, huntingMinutes },
      }));
      return points(week, { hunting: { amplitude_K } as HuntingAssessment });
    };
    expect(swinging(60, 1.5)).toEqual([1, 1, 0.5, 0, 4]);
    expect(swinging(59.9, 1.5)).toEqual(nothing);
    expect(swinging(60, 1.4999)).toEqual(nothing);
  });

  it('lead to the check between the two likeliest', () => {
    const check = (week: WindowJudgement[], rest: Partial<FindingContext> = {}) =>
      supplyExplanations(context(week, rest)).separatingCheck!.text;
    expect(check(some(3, unknown))).toMatch(/Watch subcooling/);
    // Enough liquid: a restriction (1) and a valve too small (-0.5) are left.
    expect(check(some(3))).toMatch(/before and after the filter/);
  });
});

describe('signs of missing refrigerant, at their limits', () => {
  /** Steady minutes with and without the signs. */
  const signs = (
    minutes: number,
    rest: number,
    change: Change['conditions'],
    superheat: Change['superheat'] = {},
  ) => [
    window(0, { conditions: { subcooling_K: 1, ...change }, superheat: { ...superheat, minutes } }),
    window(1, { superheat: { minutes: rest } }),
  ];
  const said = (week: WindowJudgement[], earlier: WindowJudgement[] = []) =>
    undercharge(context(week, { earlier }), summarise(week)!);

  it('are low subcooling under 1.75 K for 60 % of the time', () => {
    expect(said(signs(60, 40, {}))!.urgency).toBe('watch');
    expect(said(signs(59, 41, {}))).toBeNull();
    expect(said(signs(60, 40, { subcooling_K: 1.75 }))).toBeNull();
    // An hour of it in all.
    expect(said(signs(60, 0, {}))).not.toBeNull();
    expect(said(signs(59, 0, {}))).toBeNull();
  });

  it('are the valve at 80 % with it, and superheat 1.5 K over its setpoint, for a quarter', () => {
    const open = { valveOpening_pct: 80 };
    // A receiver takes the subcooling by design: it must have fallen.
    expect(said(signs(25, 75, open))!.urgency).toBe('watch');
    expect(said(signs(25, 75, open), some(5, { conditions: { subcooling_K: 8 } }))!.urgency).toBe(
      'next-visit',
    );
    expect(said(signs(24, 76, open))).toBeNull();
    expect(said(signs(25, 75, { valveOpening_pct: 79.9 }))).toBeNull();
    expect(said(signs(25, 75, open, { offset_K: 1.5 }))!.urgency).toBe('watch');
    expect(said(signs(25, 75, open, { offset_K: 1.51 }))!.urgency).toBe('this-week');
    expect(said(signs(25, 75, open, { offset_K: null, mean_K: 10 }))!.urgency).toBe('watch');
    expect(said(signs(25, 75, open, { offset_K: null, mean_K: 10.1 }))!.urgency).toBe('this-week');
  });

  it('score 10, 25 with the valve open, and 30 and 30 times the share with all three', () => {
    const high = { offset_K: 2 };
    const open = { valveOpening_pct: 90 };
    expect(said(signs(60, 40, {}))!.score).toBe(10);
    expect(said(signs(60, 40, open))!.score).toBe(25);
    expect(said(signs(50, 50, open, high))!.score).toBe(45);
    expect(said(signs(60, 40, open, high))!.certainty).toBe('likely');
    expect(said(signs(59, 41, open, high))!.certainty).toBe('possible');
  });

  it('are held against ten hours of the weeks before', () => {
    const before = (subcooling_K: number, count: number, change: Change['conditions'] = {}) =>
      said(signs(120, 0, { subcooling_K: 1.5, ...change }), some(count, { conditions: { subcooling_K } }));
    const weight = (draft: ReturnType<typeof before>) => draft!.explanations![0]!.weight;
    // Fallen by 1.5 K, in five windows of two hours.
    expect(weight(before(3, 5))).toBe(0.7);
    expect(weight(before(2.999, 5))).toBe(0.5);
    expect(weight(before(3, 4))).toBe(0.5);
    expect(before(3, 5, { valveOpening_pct: 80 })!.certainty).toBe('likely');
    expect(before(2.999, 5, { valveOpening_pct: 80 })!.certainty).toBe('possible');
    expect(before(3, 5)!.certainty).toBe('possible');
    for (const draft of [before(3, 5), before(5, 4)])
      expect(draft!.explanations!.reduce((sum, one) => sum + one.weight, 0)).toBeCloseTo(1, 12);
    // A fall supports missing refrigerant, its absence a wrong reading.
    expect(before(3, 5)!.explanations!.map((one) => one.supports.length)).toEqual([2, 0]);
    expect(before(2, 5)!.explanations!.map((one) => one.supports.length)).toEqual([1, 1]);
    expect(before(2, 5)!.explanations!.map((one) => one.contradicts.length)).toEqual([1, 0]);
  });

  it('weigh 0.85 with superheat high', () => {
    const felt = said(signs(60, 40, { valveOpening_pct: 90 }, { offset_K: 2 }))!;
    expect(felt.explanations!.map(({ weight }) => Math.round(100 * weight) / 100)).toEqual([0.85, 0.15]);
    expect(felt.headline.quantities['opening']!.value).toBe(90);
    expect(felt.headline.quantities['subcooling']!.value).toBe(1);
    expect(felt.seen).toHaveLength(1);
  });
});

describe('a condenser beside its neighbour, at the limits', () => {
  const against = (
    rise_K: number,
    own: Change = {},
    count = 5,
    other: Change = {},
    before_K: number | null = null,
  ) =>
    condenserFouling(
      context(
        some(
          count,
          { ...own, conditions: { condensingTemperature_K: 312 + rise_K, ...own.conditions } },
          count,
        ),
        {
          earlier:
            before_K === null ? [] : some(count, { conditions: { condensingTemperature_K: 312 + before_K } }),
          neighbours: [some(2 * count, other)],
        },
      ),
    );

  it('is watched where it may be so by design: up to 4 K, or however much where it was so before', () => {
    const urgency = (rise_K: number, before_K: number | null) =>
      against(rise_K, {}, 5, {}, before_K)!.urgency;
    expect([urgency(3.99, null), urgency(4, null)]).toEqual(['watch', 'this-week']);
    expect([urgency(2, 0.99), urgency(2, 1.01)]).toEqual(['next-visit', 'watch']);
    expect([urgency(6, 4.9), urgency(6, 5.1)]).toEqual(['this-week', 'watch']);
    const weights = (before_K: number) =>
      against(2, {}, 5, {}, before_K)!.explanations!.map(({ weight }) => weight);
    expect(weights(0)).toEqual([0.7, 0.2, 0.1]);
    expect(weights(2)).toEqual([0.4, 0.4, 0.15, 0.05]);
  });

  it('condenses 1.5 K higher, likely at 3 K, this week at 4 K', () => {
    expect(against(1.5)!.certainty).toBe('possible');
    expect(against(1.49)).toBeNull();
    expect(against(3)!.certainty).toBe('likely');
    expect(against(2.99)!.certainty).toBe('possible');
    expect(against(4, {}, 5, {}, 0)!.urgency).toBe('this-week');
    expect(against(3.99, {}, 5, {}, 0)!.urgency).toBe('next-visit');
  });

  it('scores eight a kelvin up to fifty', () => {
    expect(against(4)!.score).toBe(32);
    expect(against(10)!.score).toBe(50);
  });

  it('is compared over 600 minutes, the shorter of both in each window, at loads 8 points apart at most', () => {
    expect(against(3, { superheat: { minutes: 119 } })).toBeNull();
    expect(against(3, {}, 5, { superheat: { minutes: 119 } })).toBeNull();
    expect(against(3, {}, 6, { superheat: { minutes: 100 } })!.reasons[1]!.quantities['time']!.value).toBe(
      36_000,
    );
    expect(against(3, { conditions: { compressorLoad_pct: 78 } })).not.toBeNull();
    expect(against(3, { conditions: { compressorLoad_pct: 78.01 } })).toBeNull();
    expect(against(3, {}, 5, { conditions: { compressorLoad_pct: 78 } })).not.toBeNull();
  });

  it('leaves out windows in which either evaporator starves for a fifth', () => {
    expect(against(3, { superheat: { starvedFraction: 0.2 } })).toBeNull();
    expect(against(3, { superheat: { starvedFraction: 0.1999 } })).not.toBeNull();
    expect(against(3, {}, 5, { superheat: { starvedFraction: 0.2 } })).toBeNull();
  });

  it('is higher by over half of the least rise in 80 % of the time', () => {
    const mixed = (count: number, low_K: number) =>
      condenserFouling(
        context(
          Array.from({ length: 10 }, (_, k) =>
            window(k, { conditions: { condensingTemperature_K: 312 + (k < count ? 6 : low_K) } }),
          ),
          { neighbours: [some(10)] },
        ),
      );
    expect(mixed(8, 0.75)).not.toBeNull();
    expect(mixed(7, 0.75)).toBeNull();
    expect(mixed(7, 0.76)).not.toBeNull();
  });
});

describe('the discharge of a window', () => {
  const at = (dischargeTemperature_K: number | null, change: Change['conditions'] = {}) =>
    window(0, { conditions: { dischargeTemperature_K, ...change } });
  const low_Pa = saturationPressure(refrigerant, 276, 'dew');
  const high_Pa = saturationPressure(refrigerant, 312, 'dew');
  const lossless_K = isentropicDischarge(refrigerant, low_Pa, 276, high_Pa).temperature_K;

  it('has an efficiency of one at the lossless temperature, less above it and more under it', () => {
    const seen = dischargeEvidence(at(lossless_K), refrigerant)!;
    expect(seen.efficiency).toBeCloseTo(1, 4);
    expect(seen.lossless_K).toBeCloseTo(lossless_K, 9);
    expect(seen.superheat_K).toBeCloseTo(lossless_K - 312, 9);
    expect(dischargeEvidence(at(lossless_K + 10), refrigerant)!.efficiency).toBeLessThan(0.8);
    expect(dischargeEvidence(at(lossless_K - 2), refrigerant)!.efficiency).toBeGreaterThan(1.05);
    expect(dischargeEvidence(at(312), refrigerant)!.efficiency).toBe(Infinity);
    expect(dischargeEvidence(at(311), refrigerant)!.efficiency).toBe(Infinity);
  });

  it('is the temperature at its efficiency, there and back', () => {
    for (const efficiency of [0.6, 0.75, 1, 1.1]) {
      const temperature_K = dischargeAtEfficiency(at(null), refrigerant, efficiency)!;
      expect(dischargeEvidence(at(temperature_K), refrigerant)!.efficiency).toBeCloseTo(efficiency, 3);
    }
  });

  it('says nothing where a value is missing or the pressures differ by under a fifth', () => {
    expect(dischargeEvidence(at(null), refrigerant)).toBeNull();
    expect(dischargeEvidence(at(330, { evaporatingTemperature_K: null }), refrigerant)).toBeNull();
    expect(dischargeEvidence(at(330, { condensingTemperature_K: null }), refrigerant)).toBeNull();
    expect(dischargeAtEfficiency(at(330, { evaporatingTemperature_K: null }), refrigerant, 1)).toBeNull();
    expect(dischargeAtEfficiency(at(330, { condensingTemperature_K: null }), refrigerant, 1)).toBeNull();
    const ratio = (times: number) =>
      dischargeEvidence(
        at(330, { condensingTemperature_K: saturationTemperature(refrigerant, times * low_Pa, 'dew') }),
        refrigerant,
      );
    expect(ratio(1.195)).toBeNull();
    expect(ratio(1.205)).not.toBeNull();
    // Far outside the tables.
    expect(dischargeEvidence(at(330, { condensingTemperature_K: 900 }), refrigerant)).toBeNull();
    expect(dischargeAtEfficiency(at(330, { condensingTemperature_K: 900 }), refrigerant, 1)).toBeNull();
  });
});

describe('superheat under zero, at its limits', () => {
  const [liquid, wet, offset, lag] = [
    /^liquid refrigerant/,
    /wet the suction sensor/,
    /constant error/,
    /lags/,
  ];
  /** So much of the time under 0 K, and so much of it under two uncertainties further down. */
  const negative = (
    share: number,
    impossible: number,
    minutes = 120,
    dischargeTemperature_K: number | null = null,
  ) =>
    window(0, {
      superheat: {
        minutes,
        mean_K: -1,
        minimum_K: -30,
        percentile1_K: -20,
        percentile5_K: -15,
        median_K: share === 0.5 ? 0 : share < 0.5 ? 1 : -0.1,
        percentile95_K: 2,
        floodbackLimit_K: 0,
        uncertainty_K: 0.5,
        underLimitFraction: share,
        surelyUnderLimitFraction: impossible,
        possiblyUnderLimitFraction: 0,
        starvedFraction: 0,
      },
      conditions: { dischargeTemperature_K },
    });
  const found = (one: WindowJudgement, count = 4, rest: Partial<FindingContext> = {}) =>
    belowZero(
      context(
        Array.from({ length: count }, (_, k) => ({ ...one, from_s: one.from_s + 7200 * k })),
        rest,
      ),
    );
  const odds = (result: ReturnType<typeof found>) => {
    const explanations = result!.draft.explanations!;
    const weight = (cause: RegExp) => explanations.find((one) => cause.test(one.cause))!.weight;
    return [liquid!, wet!, offset!, lag!].map(
      (cause) => Math.round(1e6 * Math.log(weight(cause) / weight(lag!))) / 1e6,
    );
  };

  it('is 30 % of the time, and an hour of it', () => {
    expect(found(negative(0.301, 0.1))).not.toBeNull();
    expect(found(negative(0.299, 0.1))).toBeNull();
    expect(found(negative(0.5, 0.1, 121), 1)).not.toBeNull();
    expect(found(negative(0.5, 0.1, 119), 1)).toBeNull();
    expect(belowZero(context([{ ...window(0), superheat: null }]))).toBeNull();
  });

  it('starts with 0, -0.7, 0 and -1.5, and adds one to liquid and wet within the tolerances', () => {
    expect(odds(found(negative(0.5, 0.24)))).toEqual([2.5, 1.8, 1.5, 0]);
    expect(found(negative(0.5, 0.24))!.liquidPossible).toBe(true);
  });

  it('is the sensor where half of it lies further down than liquid can', () => {
    expect(odds(found(negative(0.5, 0.26)))).toEqual([-0.5, -1.2, 3.5, 0]);
    expect(found(negative(0.5, 0.26))!.liquidPossible).toBe(false);
    expect(found(negative(0.5, 0.26))!.draft.reasons[0]!.text).toMatch(/^Most likely: a constant error/);
    expect(found(negative(0.5, 0.24))!.draft.reasons[0]!.text).toMatch(/cannot be told/);
  });

  it('is the lag where more than half of the windows swing to over 2 K', () => {
    const swinging = (percentile95_K: number): WindowJudgement => {
      const one = negative(0.5, 0.24);
      return {
        ...one,
        superheat: { ...one.superheat!, percentile95_K },
        oscillation: { ...one.oscillation, oscillating: true, amplitude: 3 },
      };
    };
    expect(odds(found(swinging(2.01)))).toEqual([-0.5, -1.2, -1.5, 0]);
    expect(odds(found(swinging(2)))).toEqual([2.5, 1.8, 1.5, 0]);
    const half = belowZero(context([swinging(3), swinging(3), negative(0.5, 0.24), negative(0.5, 0.24)]));
    expect(odds(half)).toEqual([2.5, 1.8, 1.5, 0]);
  });

  it('is told by the discharge over an efficiency of one and under 0.9, in three windows', () => {
    const at = (efficiency: number) =>
      negative(0.5, 0.24, 120, dischargeAtEfficiency(window(0), refrigerant, efficiency));
    expect(odds(found(at(1.05)))).toEqual([5, 1.8, 1.5, 0]);
    expect(odds(found(at(0.95)))).toEqual([2.5, 1.8, 1.5, 0]);
    expect(odds(found(at(0.85)))).toEqual([0, 1.8, 2.5, 0]);
    expect(found(at(0.85))!.liquidPossible).toBe(false);
    expect(odds(found(at(0.85), 3))).toEqual([0, 1.8, 2.5, 0]);
    expect(odds(found(at(0.85), 2))).toEqual([2.5, 1.8, 1.5, 0]);
    // Under half of the windows with a discharge; a discharge that is found wrong.
    const few = belowZero(
      context([...some(3).map(() => at(0.85)), ...some(4).map(() => negative(0.5, 0.24))]),
    );
    expect(odds(few)).toEqual([2.5, 1.8, 1.5, 0]);
    expect(odds(found(at(0.85), 4, { dischargeSuperheatKnown: false }))).toEqual([2.5, 1.8, 1.5, 0]);
  });

  it('is seen in windows with over a tenth of it', () => {
    const dry = window(9);
    const result = belowZero(context([...Array.from({ length: 3 }, () => negative(0.6, 0.1)), dry]))!;
    expect(result.draft.seen).toHaveLength(3);
    expect(result.draft.headline.quantities['mean']!.value).toBe(-1);
    // Three of four windows with 0.6 of it.
    expect(result.draft.headline.quantities['share']!.value).toBeCloseTo(0.45, 6);
  });
});

describe('a flooded evaporator against its history, at the limits', () => {
  const expected_K = dischargeAtEfficiency(window(0), refrigerant, 0.7)!;
  const lossless_K = dischargeAtEfficiency(window(0), refrigerant, 1)!;
  const was = (count: number, change: Change['conditions'] = {}, minutes = 120) =>
    some(count, { superheat: { minutes }, conditions: { dischargeTemperature_K: expected_K, ...change } });
  const now = (missing_K: number, count = 2, change: Change = {}) =>
    some(
      count,
      { ...change, conditions: { dischargeTemperature_K: expected_K - missing_K, ...change.conditions } },
      100,
    );
  const found = (week: WindowJudgement[], earlier = was(5), rest: Partial<FindingContext> = {}) =>
    floodedFloodback(context(week, { evaporator: 'flooded', earlier, ...rest }));

  it('is colder by 5 K than its own efficiency makes it', () => {
    expect(found(now(5.02))).not.toBeNull();
    expect(found(now(4.98))).toBeNull();
    expect(found(now(5.02), was(5), { dischargeSuperheatKnown: false })).toBeNull();
    const headline = found(now(6))!.headline;
    expect(headline.quantities['missing']!.value).toBeCloseTo(6, 1);
  });

  it('needs ten hours of history at loads within 15 points, and four hours of the week', () => {
    expect(found(now(8), was(4))).toBeNull();
    expect(found(now(8, 1))).toBeNull();
    expect(found(now(8), was(5, { compressorLoad_pct: 85 }))).not.toBeNull();
    expect(found(now(8), was(5, { compressorLoad_pct: 85.01 }))).toBeNull();
    expect(found(now(8), was(5, { compressorLoad_pct: null }))).toBeNull();
    // Without a load now, all of the history counts.
    expect(
      found(now(8, 2, { conditions: { compressorLoad_pct: null } }), was(5, { compressorLoad_pct: 20 })),
    ).not.toBeNull();
  });

  it('is compared with windows of as much lift, and with the highest efficiency of them', () => {
    // At 5.1 K less between evaporating and condensing a compressor's efficiency is another.
    expect(found(now(8), was(5, { condensingTemperature_K: 307.1 }))).not.toBeNull();
    expect(found(now(8), was(5, { condensingTemperature_K: 306.9 }))).toBeNull();
    // A tenth of its history was as cold as it is now.
    const cold = was(10, { dischargeTemperature_K: expected_K - 8 });
    expect(found(now(8), [...was(80), ...cold])).toBeNull();
    expect(found(now(8), [...was(80), ...cold.slice(0, 2)])).not.toBeNull();
  });

  it('counts windows of half an hour', () => {
    expect(found(now(8), was(20, {}, 30))).not.toBeNull();
    expect(found(now(8), was(30, {}, 29.9))).toBeNull();
  });

  it('is a fifth of the time compared', () => {
    expect(found([...now(8, 2), ...now(0, 8)])).not.toBeNull();
    expect(found([...now(8, 2), ...now(0, 9)])).toBeNull();
    expect(found([...now(8, 2), ...now(0, 8)])!.seen).toHaveLength(2);
  });

  it('is likely where it lies a kelvin under the lossless temperature, today where that is of the last day', () => {
    const under = (margin_K: number) => expected_K - lossless_K + margin_K;
    const sure = found(now(under(1.02)))!;
    expect([sure.certainty, sure.urgency, sure.score]).toEqual(['likely', 'today', 80]);
    expect(sure.explanations!.map(({ weight }) => weight)).toEqual([0.75, 0.15, 0.1]);
    const open = found(now(under(0.98)))!;
    expect([open.certainty, open.urgency, open.score]).toEqual(['possible', 'next-visit', 25]);
    expect(open.explanations!.map(({ weight }) => weight)).toEqual([0.5, 0.3, 0.2]);
    // Two windows of it, then warm ones: the last ends a day later, or less.
    const then = (warm: number) =>
      found([
        ...now(under(2), 2),
        ...some(warm, { conditions: { dischargeTemperature_K: expected_K } }, 102),
      ])!;
    expect(then(7).urgency).toBe('today');
    const long = [
      ...now(under(2), 4),
      ...some(12, { conditions: { dischargeTemperature_K: expected_K } }, 104),
    ];
    expect(found(long)!.urgency).toBe('this-week');
    expect(
      found([...now(under(2), 4), ...some(11, { conditions: { dischargeTemperature_K: expected_K } }, 104)])!
        .urgency,
    ).toBe('today');
  });
});

describe('days of calm running', () => {
  it('show none of these', () => {
    const calm = days(3);
    expect(undercharge(context(calm), summarise(calm)!)).toBeNull();
    expect(belowZero(context(calm))).toBeNull();
    expect(condenserFouling(context(calm))).toBeNull();
    expect(floodedFloodback(context(calm))).toBeNull();
  });
});
