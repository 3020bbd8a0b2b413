import { describe, expect, it } from 'vitest';
import type { Finding } from '../../diagnosis/index.js';
import { assessModule } from '../assess-module.js';
import type { ClosingJudgement } from '../closing/index.js';
import type { ModuleAssessment } from '../module-assessment.js';
import type { ReserveForecast } from '../reserve/index.js';
import { circuit, closing, dailyTests, day_s, module, readings, start_s } from '../sample-modules.js';
import { defaultBackupSettings } from '../settings.js';
import { moduleFindings } from './module-findings.js';

const days = 60;
const now_s = start_s + days * day_s;
const closings = dailyTests(days);
const sound = assessModule({
  module,
  circuits: [circuit],
  closings,
  readings: readings(now_s - 7 * day_s, 7 * 1440),
  now_s,
});

/** What is found on a sound module of which something is assessed otherwise. */
function found(
  changed: Partial<ModuleAssessment>,
  at_s = now_s,
  own: ClosingJudgement[] = closings,
): Finding[] {
  return moduleFindings({
    module,
    closings: own,
    now_s: at_s,
    settings: defaultBackupSettings,
    assessment: { ...sound, ...changed },
    refrigerant: null,
  });
}
const one = (list: Finding[], condition: string) => list.find((finding) => finding.condition === condition);
const texts = (finding: Finding) => finding.reasons.map(({ text }) => text).join(' ');

/** The reserve on the coldest and on a warm day, each 5 % to either side. */
function reserves(cold: number, warm: number): ModuleAssessment['reserve'] {
  if (sound.reserve.state !== 'known') throw new Error('unknown');
  return {
    ...sound.reserve,
    cases: sound.reserve.cases.map((each) => {
      const reserve = each.situation === 'fully-open-coldest' ? cold : warm;
      return { ...each, reserve, interval: { p10: 0.95 * reserve, p90: 1.05 * reserve } };
    }),
  };
}
const noDate = {
  state: 'refused',
  reason: 'slope-not-distinguishable',
  sentence: { text: 'No date.', quantities: {} },
} as ReserveForecast;
/** Under 1.5 and 1.0 in so many days in the median, 20 % sooner and later in P10 and P90. */
function dated(fading_d: number | null, unable_d: number | null): ReserveForecast {
  const limit = (at: number, days: number | null) => ({
    limit: at,
    state: days === null ? ('beyond-horizon' as const) : ('forecast' as const),
    date_s:
      days === null
        ? null
        : {
            p10: now_s + 0.8 * days * day_s,
            p50: now_s + days * day_s,
            p90: now_s + 1.2 * days * day_s,
          },
    openEnded: days === null,
  });
  return {
    state: 'forecast',
    lossPerYear: { p10: -0.1, p50: 0.2, p90: 0.3 },
    limits: [limit(1.5, fading_d), limit(1, unable_d)],
    horizon_s: now_s + 3650 * day_s,
    basedOn: [],
  };
}

describe('a reserve under its limits', () => {
  const at = (cold: number, warm = 3, forecast: ReserveForecast = noDate) =>
    found({ reserve: reserves(cold, warm), forecast });

  it('cannot close under 1: this week where only on a cold day, today where now too', () => {
    expect(one(at(1.01), 'cannot-close')).toBeUndefined();
    const cold = one(at(0.99), 'cannot-close')!;
    expect([cold.urgency, cold.certainty]).toEqual(['this-week', 'likely']);
    expect(cold.headline.text).toMatch(/cold day/);
    expect(one(at(0.99, 1.01), 'cannot-close')!.urgency).toBe('this-week');
    const now = one(at(0.9, 0.99), 'cannot-close')!;
    expect([now.urgency, now.certainty]).toEqual(['today', 'certain']);
    expect(now.headline.text).not.toMatch(/cold day/);
    expect(now.waiting.score).toBeGreaterThan(cold.waiting.score);
  });

  it('fades under 1.5, certainly so where its P90 is under it too', () => {
    expect(at(1.51)).toEqual([]);
    const fading = one(at(1.49), 'reserve-fading')!;
    expect([fading.urgency, fading.certainty]).toEqual(['next-visit', 'likely']);
    expect(one(at(1.4), 'reserve-fading')!.certainty).toBe('certain');
    expect(fading.headline.text).toMatch(/is under \{limit\}/);
    expect(fading.headline.quantities['limit']!.value).toBe(1.5);
  });

  it('presses where it will be under 1 within two months at the earliest', () => {
    expect(one(at(1.4, 3, dated(10, 74)), 'reserve-fading')!.urgency).toBe('this-week');
    expect(one(at(1.4, 3, dated(10, 76)), 'reserve-fading')!.urgency).toBe('next-visit');
    // Dates under 1 are given where it is under 1.5 already.
    expect(one(at(1.4, 3, dated(10, 200)), 'reserve-fading')!.headline.quantities['limit']!.value).toBe(1);
    expect(one(at(1.6, 3, dated(100, 300)), 'reserve-fading')!.headline.quantities['limit']!.value).toBe(1.5);
  });

  it('is to be seen to at the next visit where it will be under 1.5 within four months, and watched within a year', () => {
    const fading = (days: number) => one(at(2, 3, dated(days, null)), 'reserve-fading');
    expect(fading(149)!.urgency).toBe('next-visit');
    expect(fading(151)!.urgency).toBe('watch');
    expect(fading(364)!.urgency).toBe('watch');
    expect(fading(366)).toBeUndefined();
    expect(fading(149)!.waiting.score).toBeGreaterThan(fading(151)!.waiting.score);
  });

  it('never says that it gains energy', () => {
    const loss = one(at(1.4, 3, dated(10, 200)), 'reserve-fading')!.reasons.find(({ text }) =>
      /loses between/.test(text),
    )!;
    expect(loss.quantities['low']!.value).toBe(0);
    expect(loss.quantities['high']!.value).toBe(0.3);
  });
});

describe('a module that loses its charge', () => {
  const leaking = (changed: Partial<ModuleAssessment['leakage']>) =>
    one(
      found({
        leakage: {
          state: 'leaking',
          floatCurrent_A: 0.004,
          decayCurrent_A: 0.004,
          limit_A: 0.0015,
          timeToUnable_s: 7200,
          ...changed,
        },
      }),
      'leaking-charge',
    )!;

  it('is certain where both the float current and the fall of voltage say so', () => {
    expect(leaking({}).certainty).toBe('certain');
    expect(leaking({ floatCurrent_A: 0.001 }).certainty).toBe('likely');
    expect(leaking({ decayCurrent_A: 0.001 }).certainty).toBe('likely');
    expect(leaking({ decayCurrent_A: null }).certainty).toBe('likely');
    expect(leaking({ floatCurrent_A: null }).certainty).toBe('likely');
    expect(leaking({ decayCurrent_A: null }).reasons).toHaveLength(1);
    expect(leaking({ floatCurrent_A: null }).reasons).toHaveLength(1);
  });

  it('presses where the module is unable within an hour', () => {
    expect(leaking({ timeToUnable_s: 3599 }).urgency).toBe('this-week');
    expect(leaking({ timeToUnable_s: 3600 }).urgency).toBe('next-visit');
    expect(leaking({ timeToUnable_s: 3599 }).waiting.score).toBeGreaterThan(
      leaking({ timeToUnable_s: 3600 }).waiting.score,
    );
    expect(leaking({ timeToUnable_s: null }).waiting.sentence.text).toMatch(/even when full/);
  });

  it('explains a charger that does not reach its voltage, more likely than the charger itself', () => {
    const charger = { state: 'under-voltage' as const, voltage_V: 18, target_V: 20 };
    const likeliest = (state: 'normal' | 'leaking') =>
      one(found({ charger, leakage: { ...sound.leakage, state } }), 'charger-low')!.explanations[0]!;
    expect(likeliest('leaking').cause).toMatch(/leakage/);
    expect(likeliest('normal').cause).toMatch(/charger/);
    expect(likeliest('normal').supports).toHaveLength(1);
    expect(found({ charger: { ...charger, state: 'reaches' } })).toEqual([]);
  });
});

describe('a sudden loss', () => {
  const lost = (
    changed: Partial<NonNullable<ModuleAssessment['suddenChange']>>,
    reserve = reserves(2, 2.2),
  ) =>
    one(
      found({
        reserve,
        suddenChange: {
          at_s: now_s - day_s,
          tests: 1,
          capacitanceRatio: 0.7,
          capacitanceRatioUncertainty: 0.02,
          esrRatio: null,
          esrRatioUncertainty: null,
          reserveRatio: 0.7,
          ...changed,
        },
      }),
      'sudden-loss',
    )!;

  it('is the surer the more tests show it', () => {
    expect([1, 2, 3].map((tests) => lost({ tests }).certainty)).toEqual(['possible', 'likely', 'certain']);
    const byTheTest = (tests: number) =>
      lost({ tests }).explanations.find(({ cause }) => /test itself/.test(cause))!;
    expect(byTheTest(1).weight).toBeGreaterThan(byTheTest(2).weight);
    expect(byTheTest(2).weight).toBeGreaterThan(byTheTest(5).weight);
    expect([byTheTest(1).supports.length, byTheTest(1).contradicts.length]).toEqual([1, 0]);
    expect([byTheTest(2).supports.length, byTheTest(2).contradicts.length]).toEqual([0, 1]);
  });

  it('is a connection where ESR rose by over 30 %, else a cell', () => {
    const cause = (esrRatio: number | null) => lost({ esrRatio }).explanations[0]!.cause;
    expect(cause(1.31)).toMatch(/connection/);
    expect(cause(1.29)).toMatch(/cell/);
    expect(cause(null)).toMatch(/cell/);
    expect(texts(lost({ esrRatio: 1.5 }))).toMatch(/ESR rose/);
    expect(texts(lost({}))).not.toMatch(/ESR rose/);
    expect(texts(lost({ capacitanceRatio: null, esrRatio: 2 }))).not.toMatch(/Capacitance/);
  });

  it('is for today where the reserve is under 1.5 since', () => {
    expect(lost({}, reserves(1.49, 2)).urgency).toBe('today');
    expect(lost({}, reserves(1.51, 2)).urgency).toBe('this-week');
  });

  it('of a cell is said to be weak, with the sign that shows it', () => {
    const weak = (sign: ModuleAssessment['weakCell']['sign'], reserve = reserves(2, 2.2)) =>
      one(found({ reserve, weakCell: { state: 'suspected', sign, cellsAffected: 1 } }), 'weak-cell');
    expect(weak('lost-cell-capacitance')!.certainty).toBe('possible');
    expect(weak('shorted-cell')!.certainty).toBe('likely');
    expect(weak('shorted-cell')!.urgency).toBe('next-visit');
    expect(weak('shorted-cell', reserves(1.4, 2))!.urgency).toBe('this-week');
    expect(weak(null)).toBeUndefined();
    const none = { state: 'none-seen', sign: 'shorted-cell', cellsAffected: null } as const;
    expect(found({ weakCell: none })).toEqual([]);
  });
});

describe('a closing that did not end shut', () => {
  const failed = (changed: Partial<ClosingJudgement> = {}) => {
    const last = closing(days, {
      shut: false,
      proof: false,
      openingBefore_pct: 60,
      openingAfter_pct: 25,
      ...changed,
    });
    const proof = {
      state: 'unproven' as const,
      reason: 'did-not-shut' as const,
      lastProof_s: null,
      sentence: { text: 'It did not.', quantities: {} },
    };
    return one(found({ proof }, now_s, [...closings, last]), 'did-not-shut')!;
  };

  it('is for today at a loss of mains, and for this week in a self-test', () => {
    expect([failed().urgency, failed({ kind: 'power-loss' }).urgency]).toEqual(['this-week', 'today']);
    expect(failed({ kind: 'power-loss' }).waiting.score).toBeGreaterThan(failed().waiting.score);
  });

  it('is for want of energy where the voltage fell to within 5 % of the minimum of 9 V, else the valve sticks', () => {
    const cause = (voltageLowest_V: number | null) => failed({ voltageLowest_V }).explanations[0]!.cause;
    expect(cause(9.44)).toMatch(/ran out of energy/);
    expect(cause(1.05 * module.minimumVoltage_V)).toMatch(/ran out of energy/);
    expect(cause(9.46)).toMatch(/sticks/);
    expect(cause(null)).toMatch(/sticks/);
  });

  it('is unproven until a test, watched in the first month of a module without any', () => {
    const unproven = (reason: 'no-closing' | 'too-old', at_s: number) =>
      one(
        found(
          {
            proof: {
              state: 'unproven',
              reason,
              lastProof_s: null,
              sentence: { text: 'None.', quantities: {} },
            },
          },
          at_s,
        ),
        'closing-unproven',
      )!.urgency;
    // Installed on 2025-01-01.
    const installed_s = Date.UTC(2025, 0, 1) / 1000;
    expect(unproven('no-closing', installed_s + 29 * day_s)).toBe('watch');
    expect(unproven('no-closing', installed_s + 31 * day_s)).toBe('next-visit');
    expect(unproven('too-old', installed_s + 29 * day_s)).toBe('next-visit');
  });
});

describe('a health contact', () => {
  const fault = { state: 'fault', since_s: now_s - day_s, sign: null } as const;

  it('that says fault is doubted where everything else is sound', () => {
    const likeliest = (changed: Partial<ModuleAssessment>) =>
      one(found({ health: fault, ...changed }), 'health-fault')!.explanations[0]!.cause;
    expect(likeliest({})).toMatch(/contact or wiring/);
    expect(likeliest({ charger: { ...sound.charger, state: 'unknown' } })).toMatch(/module itself/);
    expect(likeliest({ leakage: { ...sound.leakage, state: 'leaking' } })).toMatch(/module itself/);
    expect(likeliest({ reserve: { state: 'unknown', reason: { text: '', quantities: {} } } })).toMatch(
      /module itself/,
    );
  });

  it('that is stuck says what it contradicts', () => {
    const reason = (sign: ModuleAssessment['health']['sign']) =>
      texts(one(found({ health: { state: 'stuck', since_s: now_s, sign } }), 'health-contact-stuck')!);
    expect(reason('good-under-minimum-voltage')).toMatch(/below \{minimum\}/);
    expect(reason('good-without-reserve')).toMatch(/can deliver only/);
    expect(reason('no-longer-follows')).toMatch(/used to open/);
    expect(found({ health: { state: 'unknown', since_s: null, sign: null } })).toEqual([]);
  });
});

// How much each costs to wait, on one scale from 0 to 100: judgement, no source.
describe('what waiting costs', () => {
  const scores = (changed: Partial<ModuleAssessment>, own?: ClosingJudgement[]) =>
    found(changed, now_s, own).map(({ condition, waiting }) => [condition, waiting.score]);
  const leakage = { ...sound.leakage, state: 'leaking' as const };
  const charger = { state: 'under-voltage' as const, voltage_V: 18, target_V: 20 };
  const health = (state: 'fault' | 'stuck') => ({
    state,
    since_s: now_s,
    sign: 'no-longer-follows' as const,
  });
  const unproven = (reason: 'too-old' | 'did-not-shut') => ({
    proof: {
      state: 'unproven' as const,
      reason,
      lastProof_s: null,
      sentence: { text: 'None.', quantities: {} },
    },
  });

  it('is most where the valve cannot be shut, or was not', () => {
    expect(scores({ reserve: reserves(0.9, 0.95), forecast: noDate })).toEqual([['cannot-close', 95]]);
    expect(scores({ reserve: reserves(0.9, 2), forecast: noDate })).toEqual([['cannot-close', 75]]);
    const failed = (kind: 'self-test' | 'power-loss') =>
      scores(unproven('did-not-shut'), [...closings, closing(days, { kind, shut: false, proof: false })]);
    expect(failed('power-loss')).toEqual([['did-not-shut', 90]]);
    expect(failed('self-test')).toEqual([['did-not-shut', 70]]);
    expect(scores(unproven('too-old'))).toEqual([['closing-unproven', 20]]);
  });

  it('is less where the reserve fades, by how soon', () => {
    const fading = (cold: number, forecast: ReserveForecast) =>
      scores({ reserve: reserves(cold, 3), forecast });
    expect(fading(1.4, dated(10, 74))).toEqual([['reserve-fading', 60]]);
    expect(fading(1.4, noDate)).toEqual([['reserve-fading', 40]]);
    expect(fading(2, dated(149, null))).toEqual([['reserve-fading', 25]]);
    expect(fading(2, dated(300, null))).toEqual([['reserve-fading', 12]]);
  });

  it('is less again for what drains it, charges it, or reports on it', () => {
    expect(scores({ leakage: { ...leakage, timeToUnable_s: 3599 } })).toEqual([['leaking-charge', 45]]);
    expect(scores({ leakage: { ...leakage, timeToUnable_s: 7200 } })).toEqual([['leaking-charge', 25]]);
    expect(scores({ charger })).toEqual([['charger-low', 45]]);
    expect(scores({ health: health('stuck') })).toEqual([['health-contact-stuck', 20]]);
    expect(scores({ health: health('fault') })).toEqual([['health-fault', 30]]);
    expect(scores({ health: health('fault'), charger: { ...sound.charger, state: 'unknown' } })).toEqual([
      ['health-fault', 50],
    ]);
    const weakCell = { state: 'suspected', sign: 'shorted-cell', cellsAffected: 1 } as const;
    expect(scores({ weakCell })).toEqual([['weak-cell', 35]]);
  });

  it('of a sudden loss is by what is left', () => {
    const suddenChange = {
      at_s: now_s - day_s,
      tests: 3,
      capacitanceRatio: 0.7,
      capacitanceRatioUncertainty: 0.02,
      esrRatio: null,
      esrRatioUncertainty: null,
      reserveRatio: 0.7,
    };
    expect(scores({ suddenChange, reserve: reserves(2, 2.2) })).toEqual([['sudden-loss', 50]]);
    expect(scores({ suddenChange, reserve: reserves(1.49, 2.2), forecast: noDate })).toContainEqual([
      'sudden-loss',
      80,
    ]);
  });
});

describe('the causes of a finding', () => {
  const weights = (finding: Finding | undefined) => finding!.explanations.map(({ weight }) => weight);

  it('are weighed by what was seen (judgement, no source)', () => {
    const health = { state: 'fault', since_s: now_s - day_s, sign: null } as const;
    const unknown = { ...sound.charger, state: 'unknown' as const };
    expect(weights(one(found({ health }), 'health-fault'))).toEqual([0.6, 0.4]);
    expect(weights(one(found({ health, charger: unknown }), 'health-fault'))).toEqual([0.8, 0.2]);
    const charger = { state: 'under-voltage' as const, voltage_V: 18, target_V: 20 };
    const leakage = { ...sound.leakage, state: 'leaking' as const };
    expect(weights(one(found({ charger }), 'charger-low'))).toEqual([0.8, 0.2]);
    expect(weights(one(found({ charger, leakage }), 'charger-low'))).toEqual([0.7, 0.3]);
  });
});
