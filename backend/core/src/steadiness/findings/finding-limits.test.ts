import { describe, expect, it } from 'vitest';
import type { Finding } from '../../diagnosis/finding.js';
import { assessCircuit } from '../assess-circuit.js';
import type { Headroom } from '../circuit-assessment.js';
import { circuit } from '../sample-circuit.js';
import { days, window, type Change } from '../sample-window.js';
import { summarise } from '../windows/summaries.js';
import type { WindowJudgement } from '../windows/window-judgement.js';
import type { FindingContext } from './finding-parts.js';
import { floodbackRisk, headroom } from './superheat/superheat-findings.js';
import { supplyExplanations } from './supply/liquid-supply.js';

type Rest = Partial<Parameters<typeof assessCircuit>[0]>;
const said = (condition: string, windows: WindowJudgement[], rest: Rest = {}): Finding | undefined =>
  assessCircuit({ windows, refrigerant: 'R134a', circuit, ...rest }).findings.find(
    (one) => one.condition === condition,
  );

describe('floodback', () => {
  const wet = (underLimitFraction: number, surelyUnderLimitFraction = 0, count = 3) =>
    said('floodback-risk', days(count, { superheat: { underLimitFraction, surelyUnderLimitFraction } }));

  it('is said from 2 % of steady running under the limit on, or half a percent surely under it', () => {
    expect(wet(0.019)).toBeUndefined();
    expect(wet(0.021)!.urgency).toBe('next-visit');
    expect(wet(0.004, 0.0049)).toBeUndefined();
    expect(wet(0.006, 0.0051)).toBeDefined();
  });

  it('presses from 10 % on, or 1 % surely, and is for today from 30 % or 5 % surely', () => {
    // 36 windows, an excursion in each: 10 % are at least 7.0 %, 1 % at least 0.68 % (two-state Markov process, by hand).
    expect(wet(0.13)!.urgency).toBe('next-visit');
    expect(wet(0.15)!.urgency).toBe('this-week');
    expect(wet(0.05, 0.014)!.urgency).toBe('next-visit');
    expect(wet(0.05, 0.015)!.urgency).toBe('this-week');
    expect(wet(0.38)!.urgency).toBe('this-week');
    expect(wet(0.4)!.urgency).toBe('today');
    expect(wet(0.2, 0.07)!.urgency).toBe('this-week');
    expect(wet(0.2, 0.073)!.urgency).toBe('today');
  });

  it('is not for today where the last day was dry for all but ten minutes', () => {
    const dryNow = [...days(6, { superheat: { underLimitFraction: 0.5 } }), ...days(1, {}, 6)];
    expect(said('floodback-risk', dryNow)!.urgency).toBe('this-week');
    // Twelve windows of two hours: 9 and 11 minutes under the limit.
    const lately = (underLimitFraction: number) =>
      said('floodback-risk', [
        ...days(6, { superheat: { underLimitFraction: 0.5 } }),
        ...days(1, { superheat: { underLimitFraction } }, 6),
      ])!.urgency;
    expect(lately(9 / 1440)).toBe('this-week');
    expect(lately(11 / 1440)).toBe('today');
  });

  it('is as certain as the sensors allow', () => {
    expect(wet(0.2, 0.015)!.certainty).toBe('certain');
    expect(wet(0.2, 0.014)!.certainty).toBe('likely');
    expect(wet(0.15)!.certainty).toBe('likely');
    expect(wet(0.13)!.certainty).toBe('possible');
  });

  it('costs more to wait with, the more of the time it is, and says how long a week that is', () => {
    expect(wet(0.3)!.waiting.score).toBeGreaterThan(wet(0.2)!.waiting.score);
    expect(wet(0.2, 0.1)!.waiting.score).toBeGreaterThan(wet(0.2)!.waiting.score);
    // A tenth of 3 days of 24 h, carried on to seven.
    const { quantities } = wet(0.1)!.waiting.sentence;
    expect(quantities['time']!.value / 3600).toBeCloseTo(0.1 * 168, 6);
  });

  it('is dated from the windows in which it was seen', () => {
    const windows = [...days(2), ...days(2, { superheat: { underLimitFraction: 0.2 } }, 2)];
    expect(said('floodback-risk', windows)!.firstSeen_s).toBe(windows[24]!.from_s);
  });

  it('names the last hundredth of the worst two hours', () => {
    const windows = days(3, { superheat: { underLimitFraction: 0.2 } });
    windows[5]!.superheat!.percentile1_K = 0.4;
    const context = { week: windows, day: [], circuit } as unknown as FindingContext;
    const draft = floodbackRisk(context, summarise(windows)!)!;
    expect(draft.reasons.flatMap(({ quantities }) => quantities['lowest'] ?? [])[0]!.value).toBe(0.4);
  });
});

describe('a starved evaporator', () => {
  const high = (starvedFraction: number) => said('starved', days(3, { superheat: { starvedFraction } }));

  it('is one of which 20 % of steady running is over the limit; certain from half, pressing from 60 %', () => {
    expect(high(0.19)).toBeUndefined();
    expect([high(0.21)!.certainty, high(0.21)!.urgency]).toEqual(['likely', 'next-visit']);
    expect(high(0.51)!.certainty).toBe('certain');
    expect(high(0.59)!.urgency).toBe('next-visit');
    expect(high(0.61)!.urgency).toBe('this-week');
    expect(high(0.6)!.waiting.score).toBeGreaterThan(high(0.3)!.waiting.score);
  });
});

describe('superheat off its setpoint', () => {
  const off = (offset_K: number, change: Change['superheat'] = {}) =>
    said('superheat-off-setpoint', days(3, { superheat: { offset_K, ...change } }));

  it('is off by 1.5 K, and worth a visit from 3 K on', () => {
    expect(off(1.4)).toBeUndefined();
    expect(off(1.6)!.urgency).toBe('watch');
    expect(off(-1.6)!.urgency).toBe('watch');
    expect(off(2.9)!.urgency).toBe('watch');
    expect(off(3.1)!.urgency).toBe('next-visit');
    expect(off(-3.1)!.waiting.score).toBe(19);
    expect(off(5, { starvedFraction: 0.2 })).toBeUndefined();
    expect(off(5, { starvedFraction: 0.19 })).toBeDefined();
  });

  it('is on one side for 70 % of the time', () => {
    const sides = (over: number) =>
      said(
        'superheat-off-setpoint',
        Array.from({ length: 100 }, (_, k) =>
          window(k % 84, { superheat: { offset_K: k < over ? 4 : -1 } }),
        ).sort((a, b) => a.from_s - b.from_s),
      );
    expect(sides(75)).toBeDefined();
    expect(sides(62)).toBeUndefined();
  });
});

describe('headroom', () => {
  const found = (change: Partial<Headroom>) =>
    headroom({
      week: days(1),
      headroom: {
        headroom_K: 2,
        uncertainty_K: 0.3,
        held_K: 8,
        floor_K: 5,
        safetyMargin_K: 1,
        coveredFraction: 0.8,
        energyFraction: 0.03,
        assumption: { text: '', quantities: {} },
        ...change,
      },
    } as unknown as FindingContext);

  it('is said from 1 K and two uncertainties on, likely over three', () => {
    expect(found({ headroom_K: 0.99 })).toBeNull();
    expect(found({ headroom_K: 1 })!.certainty).toBe('likely');
    expect(found({ headroom_K: 1.9, uncertainty_K: 1 })).toBeNull();
    expect(found({ headroom_K: 2.1, uncertainty_K: 1 })!.certainty).toBe('possible');
    expect(found({ headroom_K: 2.9, uncertainty_K: 1 })!.certainty).toBe('possible');
    expect(found({ headroom_K: 3.1, uncertainty_K: 1 })!.certainty).toBe('likely');
    expect(found({ energyFraction: 0.04 })!.score).toBeGreaterThan(found({ energyFraction: 0.03 })!.score);
    expect(headroom({ week: days(1), headroom: null } as unknown as FindingContext)).toBeNull();
  });
});

describe('a valve at its limit', () => {
  const at = (valve: Change['valve']) => said('valve-at-limit', days(3, { valve }));

  it('is open for 20 % of running, or next to its seat for half', () => {
    expect(at({ nearOpenFraction: 0.19 })).toBeUndefined();
    expect(at({ nearOpenFraction: 0.21 })!.urgency).toBe('watch');
    expect(at({ nearOpenFraction: 0.51 })!.urgency).toBe('next-visit');
    expect(at({ nearShutFraction: 0.49, minimum_pct: 0 })).toBeUndefined();
    expect(at({ nearShutFraction: 0.51, minimum_pct: 0 })!.headline.text).toMatch(/seat/);
    // It never reached the seat.
    expect(at({ nearShutFraction: 0.9, minimum_pct: 1.1 })).toBeUndefined();
    expect(at({ nearOpenFraction: 0.3, nearShutFraction: 0.6, minimum_pct: 0 })!.headline.text).toMatch(
      /any further/,
    );
  });

  it('is told from an hour of running on', () => {
    const short = (runningMinutes: number) =>
      said('valve-at-limit', [window(0, { valve: { nearOpenFraction: 0.9, runningMinutes } })]);
    expect(short(59)).toBeUndefined();
    expect(short(60)).toBeDefined();
  });
});

describe('valve wear', () => {
  const rank = (below: number) => ({
    travel_strokes_per_day: Array.from({ length: 100 }, (_, i) => (i < below ? 1 : 1000)),
    reversals_per_day: Array.from({ length: 100 }, () => 1e6),
  });
  const busy = (reversals: number, count = 7) => days(count, { valve: { reversals, travel_strokes: 4 } });

  it('is a life of under four years at this pace where the life is not the maker’s, over two days, whatever the fleet does', () => {
    // 5 million reversals (common practice, no source) in 4 years of 365.25 days of twelve windows: 285.2 a window.
    expect(said('valve-wear', busy(286))).toBeDefined();
    expect(said('valve-wear', busy(285))).toBeUndefined();
    expect(said('valve-wear', busy(285), { fleet: rank(99) })).toBeUndefined();
    expect(said('valve-wear', busy(286, 2))).toBeDefined();
    expect(said('valve-wear', busy(286, 1))).toBeUndefined();
    // Of the maker's own figure: eight years, 142.6 a window.
    const rated = (reversals: number) =>
      said('valve-wear', busy(reversals), {
        circuit: { ...circuit, valve: { ...circuit.valve, ratedLife: { reversals: 5_000_000 } } },
      });
    expect(rated(143)).toBeDefined();
    expect(rated(142)).toBeUndefined();
  });
});

describe('missing refrigerant', () => {
  /** So many of ten windows with low subcooling, the valve at an opening and superheat off its setpoint by so much. */
  const signs = (low: number, opening_pct = 50, offset_K: number | null = 0, mean_K = 6) =>
    said(
      'undercharge-suspected',
      Array.from({ length: 80 }, (_, k) =>
        window(
          k,
          k % 10 < low
            ? {
                conditions: { subcooling_K: 1, valveOpening_pct: opening_pct },
                superheat: { offset_K, mean_K },
              }
            : {},
        ),
      ),
    );

  it('is suspected where subcooling is under 1.75 K in 60 % of the time, or in a quarter with the valve at 80 %', () => {
    expect(signs(5)).toBeUndefined();
    expect(signs(6)!.urgency).toBe('watch');
    expect(signs(2, 85)).toBeUndefined();
    expect(signs(3, 85)!.urgency).toBe('watch');
    expect(signs(3, 79)).toBeUndefined();
    const at = (subcooling_K: number) =>
      said('undercharge-suspected', days(7, { conditions: { subcooling_K } }));
    expect(at(1.74)).toBeDefined();
    expect(at(1.76)).toBeUndefined();
  });

  it('is felt where superheat is 1.5 K over its setpoint too, or over 10 K without one, and likely from 60 % on', () => {
    expect(signs(3, 85, 1.4)!.urgency).toBe('watch');
    expect(signs(3, 85, 1.6)!.urgency).toBe('this-week');
    expect(signs(3, 85, null, 9.9)!.urgency).toBe('watch');
    expect(signs(3, 85, null, 10.1)!.urgency).toBe('this-week');
    expect(signs(5, 85, 2)!.certainty).toBe('possible');
    expect(signs(6, 85, 2)!.certainty).toBe('likely');
    expect(signs(6, 85, 2)!.waiting.score).toBeGreaterThan(signs(3, 85, 2)!.waiting.score);
  });

  it('has fallen where subcooling was 1.5 K higher in ten hours of the weeks before', () => {
    const after = (before_K: number, hours: number) =>
      said('undercharge-suspected', [
        ...Array.from({ length: hours / 2 }, (_, k) => window(k, { conditions: { subcooling_K: before_K } })),
        ...days(7, { conditions: { subcooling_K: 1 } }, 14),
      ])!;
    const fallen = (one: Finding) => one.reasons.some(({ text }) => /has fallen/.test(text));
    expect(fallen(after(2.6, 48))).toBe(true);
    expect(fallen(after(2.4, 48))).toBe(false);
    expect(after(5, 10).reasons.length).toBeGreaterThan(after(5, 8).reasons.length);
  });
});

describe('a fouled condenser', () => {
  const against = (rise_K: number, change: Change['conditions'] = {}, own = 84) =>
    said(
      'condenser-fouling-suspected',
      days(7, { conditions: { condensingTemperature_K: 312 + rise_K, ...change } }).slice(0, own),
      {
        neighbours: [days(7)],
      },
    );

  it('condenses 1.5 K higher than its neighbour; likely from 3 K, pressing from 4 K on', () => {
    expect(against(1.4)).toBeUndefined();
    expect([against(1.6)!.certainty, against(1.6)!.urgency]).toEqual(['possible', 'watch']);
    expect(against(2.9)!.certainty).toBe('possible');
    expect(against(3.1)!.certainty).toBe('likely');
    expect(against(3.9)!.urgency).toBe('watch');
    expect(against(4.1)!.urgency).toBe('this-week');
    expect(against(4)!.waiting.score).toBeGreaterThan(against(2)!.waiting.score);
  });

  it('is compared at loads within 8 points, over ten hours', () => {
    expect(against(3, { compressorLoad_pct: 78 })).toBeDefined();
    expect(against(3, { compressorLoad_pct: 79 })).toBeUndefined();
    expect(against(3, { compressorLoad_pct: 62 })).toBeDefined();
    expect(against(3, { compressorLoad_pct: 61 })).toBeUndefined();
    expect(against(3, {}, 5)).toBeDefined();
    expect(against(3, {}, 4)).toBeUndefined();
    expect(against(3, { compressorLoad_pct: null })).toBeUndefined();
    expect(against(3, { condensingTemperature_K: null })).toBeUndefined();
  });

  it('shows it in 80 % of the time', () => {
    const share = (tenths: number) =>
      said(
        'condenser-fouling-suspected',
        Array.from({ length: 80 }, (_, k) =>
          window(k, { conditions: { condensingTemperature_K: k % 10 < tenths ? 316 : 312.5 } }),
        ),
        { neighbours: [days(7)] },
      );
    expect(share(8)).toBeDefined();
    expect(share(7)).toBeUndefined();
  });

  it('is held against the neighbour that differs least', () => {
    const hot = days(7, { conditions: { condensingTemperature_K: 315 } });
    const warm = days(7, { conditions: { condensingTemperature_K: 314 } });
    expect(said('condenser-fouling-suspected', hot, { neighbours: [days(7), warm] })).toBeUndefined();
  });
});

describe('why too little liquid passes', () => {
  const explained = (change: Change, earlier: WindowJudgement[] = []) => {
    const { explanations } = supplyExplanations({
      week: days(7, change, 14),
      earlier,
      hunting: null,
    } as unknown as FindingContext);
    return (cause: RegExp) => explanations.find((one) => cause.test(one.cause))!.weight;
  };
  const subcooled = (subcooling_K: number | null) => explained({ conditions: { subcooling_K } });

  it('is told by subcooling: under 1.75 K missing refrigerant, over 3 K a restriction', () => {
    expect(subcooled(1.7)(/missing/)).toBeGreaterThan(0.7);
    expect(subcooled(1.8)(/missing/)).toBeCloseTo(subcooled(null)(/missing/), 9);
    expect(subcooled(2.9)(/restrict/)).toBeCloseTo(subcooled(null)(/restrict/), 9);
    expect(subcooled(3.1)(/restrict/)).toBeGreaterThan(subcooled(null)(/restrict/));
    expect(subcooled(3.1)(/missing/)).toBeLessThan(0.05);
  });

  it('is not the size of the valve where it was 12 points less open before, in four hours at a load within 15 points', () => {
    const now: Change = { conditions: { subcooling_K: null, valveOpening_pct: 90 } };
    const before = (valveOpening_pct: number, hours = 48, compressorLoad_pct = 70) =>
      explained(
        now,
        Array.from({ length: hours / 2 }, (_, k) =>
          window(k, { conditions: { valveOpening_pct, compressorLoad_pct } }),
        ),
      )(/too small/);
    const unknown = explained(now)(/too small/);
    expect(before(77)).toBeLessThan(unknown);
    expect(before(79)).toBeGreaterThan(unknown);
    expect(before(77, 4)).toBeLessThan(unknown);
    expect(before(77, 2)).toBe(unknown);
    expect(before(77, 48, 84)).toBeLessThan(unknown);
    expect(before(77, 48, 86)).toBe(unknown);
  });
});
