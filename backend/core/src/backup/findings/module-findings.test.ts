import { describe, expect, it } from 'vitest';
import { assessModule } from '../assess-module.js';
import type { ClosingJudgement } from '../closing/index.js';
import type { AssessModuleInput, ModuleAssessment } from '../module-assessment.js';
import { circuit, closing, dailyTests, day_s, module, readings, start_s, wobble } from '../sample-modules.js';

const days = 120;
const now_s = start_s + days * day_s;
/** A week of quiet readings up to now. */
const week = (change?: Parameters<typeof readings>[2]) => readings(now_s - 7 * day_s, 7 * 1440, change);

const assess = (closings: ClosingJudgement[], changed: Partial<AssessModuleInput> = {}): ModuleAssessment =>
  assessModule({ module, circuits: [circuit], closings, readings: week(), now_s, ...changed });
const one = ({ findings }: ModuleAssessment, condition: string) => {
  expect(findings.map((finding) => finding.condition)).toContain(condition);
  return findings.find((finding) => finding.condition === condition)!;
};
const conditions = ({ findings }: ModuleAssessment) => findings.map(({ condition }) => condition);
/** Tests of a module with a fraction of its capacitance. */
const weak = (capacitance_F: number, of: (day: number) => Partial<ClosingJudgement> = () => ({})) =>
  dailyTests(days, (day) => ({
    capacitance_F: capacitance_F * (1 + wobble(day)),
    esr_Ohm: 0.5,
    ...of(day),
  }));

describe('a sound module', () => {
  const sound = assess(dailyTests(days));
  it('has no finding', () => {
    expect(sound.findings).toEqual([]);
  });

  it('has its reserve by the closed form: 152.3 J at 8 W from 20 to 9 V over 44 J, with an uncertainty', () => {
    // t = C/(2P)(V0^2 - Vf^2) - R C ln(V0/Vf), E = P t; V0 = (20 + sqrt(400 - 16))/2 = 19.7980 V, Vf = 9 V.
    const byHand = (0.5 * (19.798 ** 2 - 81) - 8 * 0.5 * Math.log(19.798 / 9)) / 44;
    if (sound.reserve.state !== 'known') throw new Error('unknown');
    const warm = sound.reserve.cases.find(({ situation }) => situation === 'fully-open-now')!;
    expect(Math.abs(warm.reserve / byHand - 1)).toBeLessThan(0.01);
    expect(warm.interval.p10).toBeLessThan(byHand);
    expect(warm.interval.p90).toBeGreaterThan(byHand);
    expect(sound.capacitanceUncertainty_F).toBeGreaterThan(0);
    expect(sound.esrUncertainty_Ohm).toBeGreaterThan(0);
    expect(sound.reserveHistory.every(({ uncertainty }) => uncertainty! > 0)).toBe(true);
  });

  it('has more reserve from where the valve stands than from fully open, worst case first', () => {
    const { reserve } = assess(dailyTests(days), { presentOpening_pct: 30 });
    if (reserve.state !== 'known') throw new Error('unknown');
    const values = reserve.cases.map((each) => each.reserve);
    expect(values).toEqual([...values].sort((a, b) => a - b));
    expect(reserve.cases.at(-1)).toMatchObject({ situation: 'present-opening', opening_pct: 30 });
    // 40 % of the stroke to drive, overdrive included, in place of 110 %.
    expect(reserve.cases.at(-1)!.closingEnergy_J).toBeCloseTo((44 * 40) / 110, 9);
  });

  it('has no finding of a stuck contact for one that always reads good, nor of a fault at a loss that it handled', () => {
    const loss = now_s - 3 * day_s;
    const met = week((_, t) =>
      t >= loss && t < loss + 1200 ? { mains: 0, health: 0, voltage_V: 17.5 } : {},
    );
    expect(assess(dailyTests(days), { readings: met }).findings).toEqual([]);
  });
});

describe('the reserve', () => {
  it('under 1 cannot close, today, and says what it can deliver', () => {
    const found = one(assess(weak(0.25)), 'cannot-close');
    expect(found).toMatchObject({ urgency: 'today', certainty: 'certain' });
    expect(found.headline.text).not.toMatch(/cold day/);
    expect(found.headline.quantities['reserve']!.value).toBeLessThan(1);
    expect(found.headline.quantities['reserve']!.uncertainty).toBeGreaterThan(0);
    expect(found.hazards).toContain('charged-capacitor');
  });

  it('under 1 only at the coldest cannot close on a cold day, this week', () => {
    const cold = dailyTests(days, (day) => {
      const temperature_K = 298.15 + 20 * Math.sin(day / 9);
      return {
        temperature_K,
        capacitance_F: 0.295 * Math.exp(0.002 * (temperature_K - 298.15)),
        esr_Ohm: 0.5,
      };
    });
    const found = one(assess(cold), 'cannot-close');
    expect(found.urgency).toBe('this-week');
    expect(found.headline.text).toMatch(/on a cold day/);
  });

  it('under 1.5 and steady is fading, at the next visit, without a date', () => {
    const found = one(assess(weak(0.4)), 'reserve-fading');
    expect(found.urgency).toBe('next-visit');
    expect(found.headline.text).toBe('Closing reserve {reserve} is under {limit}.');
    expect(found.headline.quantities['limit']!.value).toBe(1.5);
  });

  it('that falls gives the dates between which it comes under 1.5', () => {
    // 0.65 F less 0.17 F in 120 days. By the closed form 1 F delivers 152.3 J, so 1.5 times 44 J need 0.4333 F: 33 days on.
    const found = one(
      assess(
        weak(1, (day) => ({
          capacitance_F: (0.65 - 0.17 * (day / 120)) * (1 + wobble(day)),
        })),
      ),
      'reserve-fading',
    );
    expect(found.headline.text).toMatch(/under \{limit\} between \{early\} and \{late\}/);
    const { early, late } = found.headline.quantities;
    expect(early!.value).toBeGreaterThan(now_s);
    expect(early!.value).toBeLessThan(now_s + 33 * day_s);
    expect(late!.value).toBeGreaterThan(now_s + 33 * day_s);
    expect((late!.value - now_s) / day_s).toBeLessThan(66);
    expect(found.reasons.map(({ text }) => text).join()).toMatch(/loses between/);
  });
});

describe('a sudden loss', () => {
  const dropped = (from: number, esr_Ohm = 0.5) =>
    weak(1, (day) => (day >= from ? { capacitance_F: 0.7 * (1 + wobble(day)), esr_Ohm } : {}));

  it('is found at the very next test, as possible; the second makes it likely and the third certain', () => {
    expect(one(assess(dropped(119)), 'sudden-loss')).toMatchObject({
      certainty: 'possible',
      urgency: 'this-week',
    });
    expect(one(assess(dropped(118)), 'sudden-loss').certainty).toBe('likely');
    expect(one(assess(dropped(117)), 'sudden-loss').certainty).toBe('certain');
  });

  it('leaves too few tests for a date: those since, over the days since', () => {
    const { forecast } = assess(dropped(117));
    expect(forecast).toMatchObject({ state: 'refused', reason: 'changed-suddenly' });
    const { tests, span } = (forecast as { sentence: { quantities: Record<string, { value: number }> } })
      .sentence.quantities;
    expect([tests!.value, span!.value]).toEqual([3, 2 * day_s]);
  });

  it('says by how much, with an uncertainty, and since when', () => {
    const found = one(assess(dropped(100)), 'sudden-loss');
    const share = found.reasons[0]!.quantities['share']!;
    expect(Math.abs(share.value - 0.7)).toBeLessThan(0.02);
    expect(share.uncertainty).toBeGreaterThan(0);
    expect(found.firstSeen_s).toBe(start_s + 100 * day_s);
  });

  it('with a jump of ESR points to a connection, without one to a cell', () => {
    const likeliest = (found: ReturnType<typeof one>) => found.explanations[0]!.cause;
    expect(likeliest(one(assess(dropped(100, 1)), 'sudden-loss'))).toMatch(/connection/);
    const cell = assess(dropped(100));
    expect(likeliest(one(cell, 'sudden-loss'))).toMatch(/cell/);
    expect(one(cell, 'weak-cell').certainty).toBe('possible');
  });

  it('is urgent today where little is left', () => {
    const low = weak(0.65, (day) => (day >= 100 ? { capacitance_F: 0.4 } : {}));
    expect(one(assess(low), 'sudden-loss').urgency).toBe('today');
  });

  it('upwards by 8/7 is no loss but a shorted cell', () => {
    const up = assess(weak(1, (day) => (day >= 100 ? { capacitance_F: 8 / 7 } : {})));
    expect(conditions(up)).toEqual(['weak-cell']);
    expect(one(up, 'weak-cell').reasons[0]!.text).toMatch(/rose by as much as one shorted cell/);
  });
});

describe('the proof', () => {
  it('that is half a year old leaves the closing unproven, at the next visit', () => {
    const old = dailyTests(days, () => ({ proof: false, shut: null }));
    expect(one(assess([closing(-80), ...old]), 'closing-unproven').urgency).toBe('next-visit');
  });

  it('that has never been given is only watched in the first month after installation', () => {
    const young = { module: { ...module, installedOn: '2025-05-01' } };
    expect(one(assess([], young), 'closing-unproven').urgency).toBe('watch');
    expect(one(assess([]), 'closing-unproven').urgency).toBe('next-visit');
  });

  it('by a closing that failed in a power loss is a valve that did not shut, today', () => {
    const loss = closing(days - 1.5, {
      kind: 'power-loss',
      shut: false,
      proof: false,
      openingBefore_pct: 60,
      openingAfter_pct: 25,
      timeToShut_s: null,
    });
    const found = one(assess([...dailyTests(days - 1), loss], { refrigerant: 'R290' }), 'did-not-shut');
    expect(found).toMatchObject({ urgency: 'today', certainty: 'certain', firstSeen_s: loss.startedAt_s });
    expect(found.reasons[0]!.quantities['after']!.value).toBe(25);
    expect(found.hazards).toContain('flammable');
    expect(found.explanations[0]!.cause).toMatch(/sticks/);
    expect(found.visit.map(({ text }) => text).join(' ')).not.toMatch(/replacement module/);
    const spent = { ...loss, voltageLowest_V: 9.1 };
    const out = one(assess([...dailyTests(days - 1), spent]), 'did-not-shut');
    expect(out.explanations[0]!.cause).toMatch(/energy/);
    expect(out.visit[0]!.text).toMatch(/replacement module/);
  });

  it('by a self-test that failed is urgent this week, and no finding once a later one ends shut', () => {
    const failed = closing(days - 1.5, { shut: false, proof: false, openingAfter_pct: 25 });
    expect(one(assess([...dailyTests(days - 1), failed]), 'did-not-shut').urgency).toBe('this-week');
    expect(assess([...dailyTests(days - 1), failed, closing(days - 1)]).findings).toEqual([]);
  });
});

describe('readings at rest', () => {
  it('with 5 mA into a full module of 1 F are a leak, this week where it could not close within the hour', () => {
    const found = one(
      assess(dailyTests(days), { readings: week(() => ({ current_A: -0.005 })) }),
      'leaking-charge',
    );
    // From 20 V to about 13.2 V, where 44 J are left, at 5 mA: some 1350 s.
    expect(found.urgency).toBe('this-week');
    expect(found.waiting.sentence.quantities['time']!.value).toBeGreaterThan(1200);
    expect(found.waiting.sentence.quantities['time']!.value).toBeLessThan(1500);
  });

  it('at 17 V of 20 V are a charger that does not reach its voltage, this week', () => {
    const found = one(assess(dailyTests(days), { readings: week(() => ({ voltage_V: 17 })) }), 'charger-low');
    expect(found).toMatchObject({ urgency: 'this-week', certainty: 'certain' });
    expect(found.headline.quantities['voltage']!.value).toBe(17);
  });

  it('with the contact at fault for a day are a health fault, more likely of contact or wiring where all else is sound', () => {
    const fault = week((minute) => (minute > 6 * 1440 ? { health: 0 } : {}));
    const found = one(assess(dailyTests(days), { readings: fault }), 'health-fault');
    expect(found.urgency).toBe('this-week');
    expect(found.explanations[0]!.cause).toMatch(/contact or wiring/);
  });

  it('that say good while the module cannot close have a stuck contact, and say against which evidence', () => {
    const found = one(assess(weak(0.25)), 'health-contact-stuck');
    expect(found.reasons[0]!.text).toMatch(/reports good although the module can deliver/);
    expect(found.urgency).toBe('next-visit');
  });
});

describe('too little data', () => {
  it('gives no reserve without a capacitance, and no forecast from a handful of tests', () => {
    expect(assess([])).toMatchObject({ reserve: { state: 'unknown' }, forecast: { state: 'refused' } });
    expect(assess(dailyTests(5))).toMatchObject({
      reserve: { state: 'known' },
      forecast: { state: 'refused', reason: 'too-few-tests' },
    });
  });

  it('refuses a date where the tests do not fall by more than they scatter', () => {
    expect(assess(dailyTests(days)).forecast).toMatchObject({
      state: 'refused',
      reason: 'slope-not-distinguishable',
    });
  });
});
