import { describe, expect, it } from 'vitest';
import type {
  CauseExplanation,
  Headroom,
  HuntingAssessment,
  SpanSummary,
  ValveWear,
} from '../circuit-assessment.js';
import { days, window, type Change } from '../sample-window.js';
import { summarise } from '../windows/summaries.js';
import type { WindowJudgement } from '../windows/window-judgement.js';
import { spanDays, steadyMean, type Draft } from './finding-parts.js';
import { context } from './sample-context.js';
import { offSetpoint } from './superheat/off-setpoint.js';
import { floodbackRisk, headroom, starved } from './superheat/superheat-findings.js';
import { hunting, valveAtLimit, valveWear } from './supply/valve-findings.js';

/** Limits, met exactly and just missed; the limits and scores are judgement, no source. */
const calm = days(1);
const summary = (change: Partial<SpanSummary> = {}): SpanSummary => ({ ...summarise(calm)!, ...change });
const texts = (draft: Draft | null) => draft!.reasons.map(({ text }) => text).join(' ');

describe('floodback, at its limits', () => {
  /** Seen in so many excursions that what it is at least is what was seen. */
  const many = { underLimitExcursions: 1e12, surelyUnderLimitExcursions: 1e12 };
  const at = (underLimitFraction: number, surelyUnderLimitFraction = 0, lately = 0) =>
    floodbackRisk(
      context(days(1, { superheat: { underLimitFraction, surelyUnderLimitFraction, ...many } }), {
        day: [window(0, { superheat: { underLimitFraction: lately } })],
      }),
      summary({ underLimitFraction, surelyUnderLimitFraction }),
    );

  it('is said at 2 % of the time, or at half a percent surely', () => {
    expect(at(0.02)).not.toBeNull();
    expect(at(0.0199)).toBeNull();
    expect(at(0, 0.005)).not.toBeNull();
    expect(at(0, 0.0049)).toBeNull();
    expect(
      floodbackRisk(context(calm), summary({ underLimitFraction: null, surelyUnderLimitFraction: null })),
    ).toBeNull();
  });

  it('presses at 10 % or 1 % surely, and today at 30 % or 5 % surely with ten minutes of it in the last day', () => {
    expect(at(0.1001)!.urgency).toBe('this-week');
    expect(at(0.0999)!.urgency).toBe('next-visit');
    expect(at(0.02, 0.0101)!.urgency).toBe('this-week');
    expect(at(0.02, 0.0099)!.urgency).toBe('next-visit');
    // Ten of the 120 minutes of the last window.
    const ten = 10 / 120;
    expect(at(0.3001, 0, ten)!.urgency).toBe('today');
    expect(at(0.3001, 0, 0.99 * ten)!.urgency).toBe('this-week');
    expect(at(0.2999, 0, ten)!.urgency).toBe('this-week');
    expect(at(0.02, 0.0501, ten)!.urgency).toBe('today');
    expect(at(0.02, 0.0499, ten)!.urgency).toBe('this-week');
  });

  it('is put down to the setpoint where the controller holds it, the surer where it was lowered', () => {
    const under = (setpoint_K: number, rest = {}) =>
      days(1, { superheat: { underLimitFraction: 0.05, setpoint_K, offset_K: 0.2, ...rest } });
    const of = (week: WindowJudgement[], earlier: WindowJudgement[] = []) =>
      floodbackRisk(context(week, { earlier }), summary({ underLimitFraction: 0.05 }))!.explanations ?? [];
    const weight = (...all: Parameters<typeof of>) => of(...all)[0]?.weight ?? null;
    expect(of(under(3))[0]!.cause).toBe('superheat held under the steady floor');
    expect(weight(under(3), days(1))).toBeGreaterThan(weight(under(3))!);
    // Under the setpoint, none sent, or hunting: something else than the setpoint makes it low.
    expect(weight(under(3, { offset_K: -2 }))).toBeNull();
    expect(weight(under(3, { offset_K: null, setpoint_K: null }))).toBeNull();
    const swings = under(3).map((one) => ({
      ...one,
      oscillation: { ...one.oscillation, oscillating: true, amplitude: 3 },
    }));
    expect(weight(swings)).toBeNull();
  });

  it('is only watched where the excursions seen may be chance', () => {
    // One dip in a day of 24 h: 4 % of it, but at least 0.4 % for sure; a hundred of them are 3.2 % at least.
    const seen = (underLimitExcursions: number) => {
      const week = [
        window(0, { superheat: { underLimitFraction: 0.48, underLimitExcursions } }),
        ...days(1).slice(1),
      ];
      return floodbackRisk(context(week), summary({ underLimitFraction: 0.04 }))!;
    };
    expect(seen(1)).toMatchObject({ urgency: 'watch', certainty: 'possible' });
    expect(seen(100).urgency).toBe('next-visit');
  });

  it('is certain on the last day alone, where the week was dry until then', () => {
    const day = [window(0, { superheat: { surelyUnderLimitFraction: 0.4, surelyUnderLimitExcursions: 6 } })];
    const draft = floodbackRisk(
      context([...days(6), ...day], { day }),
      summary({ surelyUnderLimitFraction: 0.006 }),
    )!;
    expect(draft.certainty).toBe('certain');
  });

  it('is certain at 1 % surely, likely at 10 % as read', () => {
    expect(at(0.1001, 0.0101)!.certainty).toBe('certain');
    expect(at(0.1001, 0.0099)!.certainty).toBe('likely');
    expect(at(0.0999)!.certainty).toBe('possible');
  });

  it('scores 25, and up to 75 more by the time under the limit and four times what is sure', () => {
    // 25 + 75 * (4 * 0.05 + 0.2) = 55.
    expect(at(0.2, 0.05)!.score).toBeCloseTo(55, 9);
    expect(at(0.2)!.score).toBeCloseTo(40, 9);
    expect(at(1, 1)!.score).toBe(100);
  });

  it('says how long it was today where it was, and how sure it is', () => {
    expect(texts(at(0.2))).not.toMatch(/last day/);
    const today = at(0.2, 0, 0.25)!.reasons.find(({ text }) => /last day/.test(text))!;
    expect(today.quantities['time']!.value).toBeCloseTo(30 * 60, 6);
    expect(texts(at(0.2, 0.0049))).toMatch(/hardly ever/);
    expect(texts(at(0.2, 0.005))).not.toMatch(/hardly ever/);
    const noLowest = floodbackRisk(context(calm), summary({ underLimitFraction: 0.2, lowest_K: null }));
    expect(texts(noLowest)).not.toMatch(/one value in a hundred/);
  });

  it('tells a week of waiting from the days that were seen', () => {
    // One day of 24 h of steady running: a tenth of it is 2.4 h a day, 16.8 h a week.
    expect(at(0.1)!.waiting.quantities['time']!.value / 3600).toBeCloseTo(16.8, 9);
    const half = floodbackRisk(
      context(calm.slice(0, 6)),
      summary({ underLimitFraction: 0.1, steadyMinutes: 720 }),
    )!;
    // Under a day counts as a day.
    expect(half.waiting.quantities['time']!.value / 3600).toBeCloseTo(8.4, 9);
  });

  it('is seen in windows with over 1 % of it', () => {
    const week = [0.01, 0.011, 0.5].map((underLimitFraction, k) =>
      window(k, { superheat: { underLimitFraction } }),
    );
    expect(floodbackRisk(context(week), summary({ underLimitFraction: 0.2 }))!.seen).toEqual(week.slice(1));
    expect(at(0.2)!.seen).toHaveLength(12);
  });

  it('gives the largest uncertainty of its windows', () => {
    const week = [0.3, 0.7, 0.5].map((uncertainty_K, k) => window(k, { superheat: { uncertainty_K } }));
    const [first] = floodbackRisk(context(week), summary({ underLimitFraction: 0.2 }))!.reasons;
    expect(first!.quantities['uncertainty']!.value).toBe(0.7);
  });
});

describe('a starved evaporator, at its limits', () => {
  const at = (starvedFraction: number | null) => starved(context(calm), summary({ starvedFraction }));

  it('is said at 20 %, certain at 50 %, pressing at 60 %', () => {
    expect(at(null)).toBeNull();
    expect(at(0.1999)).toBeNull();
    expect([at(0.2)!.certainty, at(0.2)!.urgency]).toEqual(['likely', 'next-visit']);
    expect(at(0.4999)!.certainty).toBe('likely');
    expect(at(0.5)!.certainty).toBe('certain');
    expect(at(0.5999)!.urgency).toBe('next-visit');
    expect(at(0.6)!.urgency).toBe('this-week');
  });

  it('is only watched without a setpoint, unless the valve is seen far open', () => {
    const without = (valveOpening_pct: number | null) =>
      starved(
        context(
          days(1, { superheat: { setpoint_K: null, offset_K: null }, conditions: { valveOpening_pct } }),
        ),
        summary({ starvedFraction: 0.9 }),
      )!;
    expect([without(null).urgency, without(79).urgency, without(80).urgency]).toEqual([
      'watch',
      'watch',
      'this-week',
    ]);
    expect(without(null).certainty).toBe('possible');
    expect(texts(without(null))).toMatch(/No setpoint is sent/);
  });

  it('is only watched where the suction sensor reads warmer than the water: it is of another place', () => {
    // Evaporating at 276 K, the water enters at 285 K: up to 9 K of superheat, and 3 K for the sensors.
    const at = (mean_K: number, enteringWaterTemperature_K: number | null = 285) =>
      starved(
        context(
          days(1, {
            superheat: { mean_K, starvedFraction: 0.9 },
            conditions: { enteringWaterTemperature_K },
          }),
        ),
        summary({ starvedFraction: 0.9 }),
      )!;
    expect([at(11.9).urgency, at(12.1).urgency]).toEqual(['this-week', 'watch']);
    expect(texts(at(12.1))).toMatch(/warmer than the water that enters/);
    expect(at(30, null).urgency).toBe('this-week');
  });

  it('scores 15 and 35 times the share, and is seen where over a tenth is starved', () => {
    expect(at(0.4)!.score).toBeCloseTo(29, 9);
    const week = [0.1, 0.11, 0.9].map((starvedFraction, k) => window(k, { superheat: { starvedFraction } }));
    expect(starved(context(week), summary({ starvedFraction: 0.4 }))!.seen).toEqual(week.slice(1));
    expect(at(0.4)!.seen).toEqual(calm);
  });

  it('names the limit of the first window that has one, and the mean where it is known', () => {
    const none = { ...window(0), superheat: null };
    const week = [none, window(1, { superheat: { starvedLimit_K: 14 } })];
    const draft = starved(context(week), summary({ starvedFraction: 0.4, mean_K: null }))!;
    expect(draft.headline.quantities['limit']!.value).toBe(14);
    expect(texts(draft)).not.toMatch(/averages/);
    expect(texts(at(0.4))).toMatch(/averages/);
  });
});

describe('superheat off its setpoint, at its limits', () => {
  const at = (offset_K: number | null, change: Partial<SpanSummary> = {}) =>
    offSetpoint(context(days(1, { superheat: { offset_K } })), summary({ offset_K, ...change }));

  it('is said at 1.5 K either way, for a visit at 3 K, unless a fifth is starved', () => {
    expect(at(null)).toBeNull();
    expect(at(1.4999)).toBeNull();
    expect(at(-1.4999)).toBeNull();
    expect(at(1.5)!.urgency).toBe('watch');
    expect(at(2.9999)!.urgency).toBe('watch');
    expect(at(-3)!.urgency).toBe('next-visit');
    expect(at(3, { starvedFraction: 0.2 })).toBeNull();
    expect(at(3, { starvedFraction: 0.1999 })).not.toBeNull();
  });

  it('scores six a kelvin, up to forty, and says which side', () => {
    expect(at(-2)!.score).toBe(12);
    expect(at(10)!.score).toBe(40);
    expect(at(2)!.headline.text).toMatch(/over the controller/);
    expect(at(-2)!.headline.text).toMatch(/under the controller/);
    expect(at(-2)!.headline.quantities['offset']!.value).toBe(2);
  });

  it('needs 70 % of the steady time on the same side', () => {
    // Ten windows, of which so many lie over the setpoint and the others as far under it as leaves a mean of 2 K.
    const sides = (over: number) =>
      offSetpoint(
        context(
          Array.from({ length: 10 }, (_, k) =>
            window(k, { superheat: { offset_K: k < over ? 4 : (20 - 4 * over) / (10 - over) } }),
          ),
        ),
        summary({ steadyMinutes: 1200 }),
      );
    expect(sides(6)).toBeNull();
    expect(sides(7)!.reasons[0]!.quantities['share']!.value).toBeCloseTo(0.7, 9);
  });
});

describe('headroom, at its limits', () => {
  const found = (change: Partial<Headroom>) =>
    headroom(
      context(calm, {
        headroom: {
          headroom_K: 2,
          uncertainty_K: 0.25,
          held_K: 8,
          floor_K: 5,
          safetyMargin_K: 1,
          coveredFraction: 0.8,
          energyFraction: 0.03,
          assumption: { text: '', quantities: {} },
          ...change,
        },
      }),
    );

  it('is one kelvin and two uncertainties, and likely over three', () => {
    expect(found({ headroom_K: 2, uncertainty_K: 1 })!.certainty).toBe('possible');
    expect(found({ headroom_K: 1.9999, uncertainty_K: 1 })).toBeNull();
    expect(found({ headroom_K: 1, uncertainty_K: 0.1 })).not.toBeNull();
    expect(found({ headroom_K: 3, uncertainty_K: 1 })!.certainty).toBe('possible');
    expect(found({ headroom_K: 3.0001, uncertainty_K: 1 })!.certainty).toBe('likely');
  });

  it('scores 500 times the energy, up to thirty', () => {
    expect(found({ energyFraction: 0.03 })!.score).toBeCloseTo(15, 9);
    expect(found({ energyFraction: 0.1 })!.score).toBe(30);
  });
});

describe('hunting, at its limits', () => {
  const swinging = days(1).map((one): WindowJudgement => ({
    ...one,
    oscillation: { ...one.oscillation, oscillating: true, amplitude: 1, period_s: 200, huntingMinutes: 120 },
  }));
  const cause = (weight: number): CauseExplanation => ({
    key: 'loop-too-tight',
    cause: 'control loop tuned too hard',
    weight,
    supports: [],
    contradicts: [],
  });
  const assessment = (change: Partial<HuntingAssessment> = {}): HuntingAssessment => ({
    huntingMinutes: 1440,
    judgedMinutes: 1440,
    windows: 12,
    period_s: 203,
    amplitude_K: 1.5,
    firstSeen_s: 0,
    lastSeen_s: 0,
    causes: [],
    separatingCheck: null,
    ...change,
  });
  const at = (huntingFraction: number | null, change: Partial<HuntingAssessment> = {}, under = 0) =>
    hunting(
      context(swinging, { hunting: assessment(change) }),
      summary({ huntingFraction, underLimitFraction: under }),
    );

  it('is said at a tenth of the time judged, in windows that hunt', () => {
    expect(at(0.1)).not.toBeNull();
    expect(at(0.0999)).toBeNull();
    expect(at(null)).toBeNull();
    expect(hunting(context(swinging), summary({ huntingFraction: 1 }))).toBeNull();
    expect(hunting(context(calm, { hunting: assessment() }), summary({ huntingFraction: 1 }))).toBeNull();
  });

  it('presses at 40 % with 2 K or with 5 % under the floodback limit', () => {
    expect(at(0.4, { amplitude_K: 2 })!.urgency).toBe('this-week');
    expect(at(0.4, { amplitude_K: 1.9999 })!.urgency).toBe('next-visit');
    expect(at(0.4, { amplitude_K: 0.6 }, 0.05)!.urgency).toBe('this-week');
    expect(at(0.4, { amplitude_K: 0.6 }, 0.0499)!.urgency).toBe('next-visit');
    expect(at(0.3999, { amplitude_K: 2 })!.urgency).toBe('next-visit');
    expect(at(0.3999, { amplitude_K: 1 })!.urgency).toBe('next-visit');
    expect(at(0.3999, { amplitude_K: 0.9999 })!.urgency).toBe('watch');
  });

  it('is certain from three windows on', () => {
    expect(at(0.5, { windows: 3 })!.certainty).toBe('certain');
    expect(at(0.5, { windows: 2 })!.certainty).toBe('likely');
  });

  it('scores ten, fifty by time and amplitude to 4 K, and thirty by the time under the limit to a fifth', () => {
    // 10 + 50 * 0.5 * 2/4 + 30 * 5 * 0.1 = 10 + 12.5 + 15.
    expect(at(0.5, { amplitude_K: 2 }, 0.1)!.score).toBeCloseTo(37.5, 9);
    expect(at(1, { amplitude_K: 8 }, 0.5)!.score).toBe(90);
  });

  it('names a cause that is half likely, and brings what it needs', () => {
    const named = at(0.5, { causes: [cause(0.5)] })!;
    expect(texts(named)).toMatch(/Most likely cause: control loop tuned too hard/);
    expect(named.visit![0]!.text).toMatch(/maker's settings/);
    const open = at(0.5, { causes: [cause(0.4999)] })!;
    expect(texts(open)).not.toMatch(/Most likely/);
    expect(open.visit![0]!.text).toMatch(/separating check/);
    expect(at(0.5)!.visit![0]!.text).toMatch(/separating check/);
  });

  it('tells wear where it is known: a week of waiting is seven days of reversals', () => {
    const wear = { reversals_per_day: 300, travel_strokes_per_day: 5 } as ValveWear;
    const worn = hunting(
      context(swinging, { hunting: assessment(), wear }),
      summary({ huntingFraction: 1 }),
    )!;
    expect(worn.waiting.quantities['reversals']!.value).toBe(2100);
    expect(at(1)!.waiting.text).toMatch(/wears the valve/);
    expect(texts(worn)).toMatch(/full strokes a day/);
    expect(texts(at(1))).not.toMatch(/full strokes/);
  });

  it('is judged over all windows and seen in those that hunt', () => {
    const week = [...calm, ...swinging];
    const draft = hunting(context(week, { hunting: assessment() }), summary({ huntingFraction: 0.5 }))!;
    expect(draft.seen).toEqual(swinging);
    // Twenty-four windows of 120 minutes.
    expect(draft.reasons[0]!.quantities['judged']!.value).toBe(24 * 7200);
  });
});

describe('a valve at its limit, at the limits', () => {
  const at = (valve: Change['valve'], count = 1) => valveAtLimit(context(days(count, { valve })));

  it('is open for a fifth, or near its seat for half of the time having reached 1 %', () => {
    expect(at({ nearOpenFraction: 0.25 })!.headline.text).toMatch(/any further/);
    expect(valveAtLimit(context([window(0, { valve: { nearOpenFraction: 0.2 } })]))).not.toBeNull();
    expect(at({ nearShutFraction: 0.5, minimum_pct: 1 })!.headline.text).toMatch(/seat/);
    expect(at({ nearShutFraction: 0.4999, minimum_pct: 1 })).toBeNull();
    expect(at({ nearShutFraction: 0.5, minimum_pct: 1.0001 })).toBeNull();
    expect(at({ nearOpenFraction: 0.125, nearShutFraction: 0.25, minimum_pct: 0 })).toBeNull();
  });

  it('is not said of what cannot be an opening in percent that is driven', () => {
    // A fraction of one, or a signal that is not connected.
    const shut = { nearShutFraction: 1, minimum_pct: 0.1 };
    expect(at({ ...shut, maximum_pct: 1 })).toBeNull();
    expect(at({ ...shut, maximum_pct: 1.6 })).not.toBeNull();
    // One that stands for over a day, while superheat is held.
    const stands = { nearOpenFraction: 1, minimum_pct: 100, maximum_pct: 100 };
    expect(at(stands, 2)).toBeNull();
    expect(at(stands, 1)).not.toBeNull();
    expect(
      valveAtLimit(context(days(2, { valve: stands, superheat: { starvedFraction: 0.5 } }))),
    ).not.toBeNull();
  });

  it('is for the next visit from half of the time on, whichever limit it is', () => {
    expect(at({ nearOpenFraction: 0.5 })!.urgency).toBe('next-visit');
    expect(at({ nearOpenFraction: 0.4999 })!.urgency).toBe('watch');
    expect(at({ nearShutFraction: 0.5, minimum_pct: 0 })!.urgency).toBe('next-visit');
    // Open for a quarter: what counts is the limit that is named.
    expect(at({ nearOpenFraction: 0.25, nearShutFraction: 0.625, minimum_pct: 0 })!.urgency).toBe('watch');
  });

  it('scores ten and thirty times the larger share, and counts time that runs', () => {
    expect(at({ nearOpenFraction: 0.5 })!.score).toBe(25);
    expect(at({ nearOpenFraction: 0.25, nearShutFraction: 0.75, minimum_pct: 0 })!.score).toBe(32.5);
    // 100 of 400 minutes: 300 at none, 100 at all.
    const mixed = [
      window(0, { valve: { nearOpenFraction: 1, runningMinutes: 100 } }),
      window(1, { valve: { nearOpenFraction: 0, runningMinutes: 300 } }),
    ];
    const draft = valveAtLimit(context(mixed))!;
    expect(draft.headline.quantities['share']!.value).toBe(0.25);
    expect(draft.reasons[0]!.quantities['time']!.value).toBe(400 * 60);
    expect(draft.seen).toEqual([mixed[0]]);
  });

  it('offers causes only for a valve that is open, and nothing without a valve', () => {
    expect(at({ nearOpenFraction: 0.5 })!.explanations!.length).toBeGreaterThan(1);
    expect(at({ nearShutFraction: 0.75, minimum_pct: 0 })!.explanations).toBeUndefined();
    expect(valveAtLimit(context([{ ...window(0), valve: null }]))).toBeNull();
  });

  it('is seen in windows with over a tenth of it', () => {
    const week = [0.1, 0.125, 1, 1].map((nearOpenFraction, k) => window(k, { valve: { nearOpenFraction } }));
    expect(valveAtLimit(context(week))!.seen).toEqual(week.slice(1));
  });
});

describe('wear of the valve, at its limits', () => {
  const worn = (change: Partial<ValveWear> = {}) =>
    valveWear(
      context(calm, {
        wear: {
          travel_strokes_per_day: 40,
          reversals_per_day: 1000,
          observedDays: 7,
          fleetTravelPercentile: null,
          fleetReversalPercentile: null,
          life_years: 3.5,
          left_years: null,
          ratedStrokes: 1e5,
          ratedReversals: 5e6,
          ratedByMaker: false,
          lowerBound: false,
          ...change,
        },
      }),
    );

  it('is said from two days on, under eight years of life or one year left', () => {
    expect(valveWear(context(calm))).toBeNull();
    expect(worn({ observedDays: 2 })).not.toBeNull();
    expect(worn({ observedDays: 1.99 })).toBeNull();
    expect(worn({ life_years: null })).toBeNull();
    const rated = (change: Partial<ValveWear>) => worn({ ratedByMaker: true, ...change });
    expect(rated({ life_years: 7.99 })).not.toBeNull();
    expect(rated({ life_years: 8 })).toBeNull();
    expect(rated({ life_years: 8, left_years: 1 })).toBeNull();
    expect(rated({ life_years: 8, left_years: 0.99 })!.urgency).toBe('next-visit');
    // Of a life that the maker does not give, half of that: it may be twice as long.
    expect(worn({ life_years: 3.99 })).not.toBeNull();
    expect(worn({ life_years: 4 })).toBeNull();
    expect(worn({ life_years: 8, left_years: 0.99 })).toBeNull();
  });

  it('is for a visit under a year of life or left', () => {
    expect(worn({ life_years: 1 })!.urgency).toBe('watch');
    expect(worn({ life_years: 0.99 })!.urgency).toBe('next-visit');
    expect(worn({ left_years: 1 })!.urgency).toBe('watch');
    expect(worn({ left_years: 0.99 })!.visit).toHaveLength(1);
    expect(worn({ left_years: 1 })!.visit).toBeUndefined();
  });

  it('scores 25 where it is soon, else ten to twenty by the life', () => {
    expect(worn({ life_years: 0.5 })!.score).toBe(25);
    // 10 + 10 * (1 - 4 / 8).
    expect(worn({ life_years: 4, ratedByMaker: true })!.score).toBe(15);
  });

  it('says life, what is left of it, or that it is past', () => {
    const year_s = 365.25 * 86_400;
    expect(worn()!.headline.quantities['life']!.value).toBeCloseTo(3.5 * year_s, 3);
    expect(worn({ left_years: 3 })!.headline.quantities['left']!.value).toBeCloseTo(3 * year_s, 3);
    expect(worn({ left_years: 0 })!.headline.text).toMatch(/past its rated life/);
    expect(texts(worn())).not.toMatch(/since it went into service/);
    expect(texts(worn({ left_years: 3 }))).toMatch(/since it went into service/);
  });

  it('says where the rated life comes from, and of what', () => {
    expect(worn({ ratedByMaker: true })!.certainty).toBe('likely');
    expect(texts(worn({ ratedByMaker: true }))).toMatch(
      /by the registry: {strokes} full strokes and {reversals} reversals/,
    );
    expect(worn()!.certainty).toBe('possible');
    expect(texts(worn({ ratedStrokes: null }))).toMatch(/taken as {reversals} reversals,/);
    expect(texts(worn({ ratedReversals: null }))).toMatch(/taken as {strokes} full strokes,/);
  });

  it('is compared with the fleet from its last tenth on, by travel or reversals', () => {
    expect(texts(worn({ fleetTravelPercentile: 0.9 }))).toMatch(
      /further than {travel} of the valves in the fleet and reverses more often than {reversals}/,
    );
    expect(texts(worn({ fleetReversalPercentile: 0.95 }))).toMatch(/valves in the fleet/);
    expect(texts(worn({ fleetTravelPercentile: 0.8999 }))).not.toMatch(/valves in the fleet/);
  });

  it('makes at least so many moves where samples are far apart, and seven days of them a week', () => {
    expect(texts(worn({ lowerBound: true }))).toMatch(/at least {reversals}/);
    expect(texts(worn())).toMatch(/about {reversals}/);
    expect(worn()!.waiting.quantities['strokes']!.value).toBe(280);
    expect(worn()!.waiting.quantities['reversals']!.value).toBe(7000);
  });
});

describe('parts that findings share', () => {
  it('weigh a mean by steady minutes, over the windows that have it', () => {
    const week = [
      window(0, { superheat: { minutes: 30 }, conditions: { subcooling_K: 2 } }),
      window(1, { superheat: { minutes: 90 }, conditions: { subcooling_K: 6 } }),
      window(2, { conditions: { subcooling_K: null } }),
      { ...window(3, { conditions: { subcooling_K: 100 } }), superheat: null },
    ];
    // (30 * 2 + 90 * 6) / 120 = 5.
    expect(steadyMean(week, ({ conditions }) => conditions.subcooling_K)).toEqual({ mean: 5, minutes: 120 });
    expect(steadyMean(week, () => null)).toBeNull();
    expect(steadyMean([], () => 1)).toBeNull();
  });

  it('count a day at least', () => {
    expect(spanDays(days(3))).toBe(3);
    expect(spanDays([window(0)])).toBe(1);
  });
});
