import { describe, expect, it } from 'vitest';
import type { Finding } from '../../diagnosis/finding.js';
import { circuit } from '../sample-circuit.js';
import { assessCircuit } from '../assess-circuit.js';
import type { WindowJudgement } from '../windows/window-judgement.js';
import { start_s, days, window, type Change } from '../sample-window.js';

const findings = (
  windows: WindowJudgement[],
  rest: Partial<Parameters<typeof assessCircuit>[0]> = {},
): Finding[] => assessCircuit({ windows, refrigerant: 'R134a', circuit, ...rest }).findings;
const found = (list: Finding[], condition: string) => list.find((one) => one.condition === condition);
const conditionsOf = (list: Finding[]) => list.map(({ condition }) => condition).sort();

const wideOpen: Change = {
  superheat: { mean_K: 16, offset_K: 10, starvedFraction: 0.9 },
  valve: { mean_pct: 99, minimum_pct: 96, maximum_pct: 100, nearOpenFraction: 0.9 },
  conditions: { valveOpening_pct: 99, subcooling_K: 5.5 },
};

describe('findings on a circuit', () => {
  it('are none for a calm week', () => {
    expect(findings(days(7))).toEqual([]);
  });

  it('are none under an hour of steady running', () => {
    const short = window(0, wideOpen);
    short.superheat!.minutes = 50;
    expect(findings([short])).toEqual([]);
  });

  it('name a valve that is fully open, with the fraction of time, certain', () => {
    const one = found(findings(days(3, { valve: { nearOpenFraction: 0.6 } })), 'valve-at-limit')!;
    expect(one.certainty).toBe('certain');
    expect(one.urgency).toBe('next-visit');
    expect(one.headline.quantities.share!.value).toBeCloseTo(0.6, 6);
    expect(one.hazards).toContain('pressure');
    expect(one.firstSeen_s).toBe(start_s);
  });

  it('date a valve at its limit from the first window in which it was', () => {
    const windows = [...days(1), ...days(2, { valve: { nearOpenFraction: 0.8 } }, 1)];
    expect(found(findings(windows), 'valve-at-limit')!.firstSeen_s).toBe(start_s + 86_400);
  });

  it('name a valve that works next to its seat, and not one that only starts there', () => {
    const seat = { nearShutFraction: 0.7, minimum_pct: 0.5 };
    expect(found(findings(days(3, { valve: seat })), 'valve-at-limit')!.headline.text).toContain('seat');
    expect(conditionsOf(findings(days(3, { valve: { nearShutFraction: 0.3, minimum_pct: 0.5 } })))).toEqual(
      [],
    );
  });

  it('name wear by the life of the valve, whatever the fleet does', () => {
    const busy = days(7, { valve: { reversals: 400, travel_strokes: 20 } });
    const fleet = (travel: number) => ({
      travel_strokes_per_day: Array.from({ length: 40 }, (_, i) => travel + i / 40),
      reversals_per_day: Array.from({ length: 40 }, (_, i) => 10 * travel + i),
    });
    // 20 strokes in each of twelve windows a day: 240 a day, 200,000 in 2.3 years (common practice, no source).
    const one = found(findings(busy), 'valve-wear')!;
    expect(one.headline.quantities.life!.value / (365.25 * 86_400)).toBeCloseTo(200_000 / 240 / 365.25, 1);
    expect(one.urgency).toBe('watch');
    expect(one.waiting.sentence.quantities.strokes!.value).toBe(1680);
    expect(one.reasons.some(({ text }) => text.includes('common practice'))).toBe(true);
    expect(one.reasons.some(({ text }) => text.includes('valves in the fleet'))).toBe(false);
    const beside = found(findings(busy, { fleet: fleet(2) }), 'valve-wear')!;
    expect(beside.reasons.some(({ text }) => text.includes('valves in the fleet'))).toBe(true);
    // The busiest of a calm fleet is still no worn valve: 4 strokes and 60 reversals a window last over ten years.
    const calm = days(7, { valve: { reversals: 60, travel_strokes: 3 } });
    expect(found(findings(calm, { fleet: fleet(2) }), 'valve-wear')).toBeUndefined();
  });

  it("name wear by the maker's life and the years in service, sooner where little is left", () => {
    const busy = days(7, { valve: { reversals: 400, travel_strokes: 20 } });
    const end_s = busy[busy.length - 1]!.to_s;
    const inService = (years: number, fullStrokes?: number) =>
      found(
        findings(busy, {
          inServiceSince_s: end_s - years * 365.25 * 86_400,
          circuit: { ...circuit, valve: { ...circuit.valve, ratedLife: { fullStrokes } } },
        }),
        'valve-wear',
      );
    expect(inService(0.5)!.urgency).toBe('watch');
    expect(inService(2)!.urgency).toBe('next-visit');
    expect(inService(5)!.headline.text).toContain('past its rated life');
    expect(inService(5, 2_000_000)).toBeUndefined();
  });

  it('name superheat that stays to one side of the setpoint, and not one that is now over and now under it', () => {
    const over = found(findings(days(3, { superheat: { offset_K: 2.5 } })), 'superheat-off-setpoint')!;
    expect(over.headline.text).toContain('over');
    expect(over.headline.quantities.offset!.value).toBeCloseTo(2.5, 6);
    const under = found(findings(days(3, { superheat: { offset_K: -3.5 } })), 'superheat-off-setpoint')!;
    expect(under.headline.text).toContain('under');
    expect(under.urgency).toBe('next-visit');
    const mixed = Array.from({ length: 36 }, (_, k) =>
      window(k, { superheat: { offset_K: k % 5 < 3 ? 6 : -4 } }),
    );
    expect(found(findings(mixed), 'superheat-off-setpoint')).toBeUndefined();
  });

  it('name a starved evaporator once, and leave its distance from the setpoint to that', () => {
    const list = findings(
      days(3, {
        superheat: { mean_K: 15, offset_K: 9, starvedFraction: 0.7 },
        conditions: { evaporatingTemperature_K: 269 },
      }),
    );
    expect(conditionsOf(list)).toEqual(['starved']);
    expect(list[0]!.urgency).toBe('this-week');
  });
});

describe('why too little liquid passes the valve', () => {
  const explained = (windows: WindowJudgement[]) => found(findings(windows), 'starved')!;

  it('is something narrow where subcooling holds, and missing refrigerant least of all (MEMORY, Rossi & Braun 1997)', () => {
    const { explanations, separatingCheck } = explained(days(7, wideOpen));
    expect(explanations[0]!.cause).toContain('restricted liquid line');
    expect(explanations[explanations.length - 1]!.cause).toBe('missing refrigerant');
    expect(separatingCheck!.text).toContain('before and after the filter');
  });

  it('is missing refrigerant where subcooling is gone (MEMORY, Rossi & Braun 1997)', () => {
    const gone = { ...wideOpen, conditions: { ...wideOpen.conditions, subcooling_K: 0.2 } };
    const { explanations, separatingCheck } = explained(days(7, gone));
    expect(explanations[0]!.cause).toBe('missing refrigerant');
    expect(explanations[0]!.weight).toBeGreaterThan(0.8);
    expect(separatingCheck!.text).toContain('subcooling');
  });

  it('is not the size of the valve where half the opening did at the same load before', () => {
    const weight = (list: WindowJudgement[]) =>
      explained(list).explanations.find(({ cause }) => cause.includes('too small'))!.weight;
    const changed = weight([...days(14), ...days(7, wideOpen, 14)]);
    const always = weight(days(21, wideOpen));
    expect(changed).toBeLessThan(0.05);
    expect(always).toBeGreaterThan(0.25);
  });

  it('is the hunting itself, before anything narrow, where the circuit swings from end to end', () => {
    const swinging = (amplitude: number) =>
      days(7, wideOpen).map((one) => ({
        ...one,
        oscillation: {
          ...one.oscillation,
          oscillating: true,
          amplitude,
          period_s: 200,
          huntingMinutes: 120,
          cycles: 36,
        },
      }));
    const wide = explained(swinging(4));
    expect(wide.explanations[0]!.cause).toMatch(/^hunting/);
    expect(wide.separatingCheck!.text).toContain('Put the hunting right first');
    expect(
      explained(swinging(1))
        .explanations.map(({ cause }) => cause)
        .join(),
    ).not.toMatch(/hunting/);
  });

  it('is left open without a liquid temperature: the probabilities differ little', () => {
    const blind = { ...wideOpen, conditions: { ...wideOpen.conditions, subcooling_K: null } };
    const { explanations } = explained(days(7, blind));
    expect(explanations[0]!.weight).toBeLessThan(0.5);
    expect(explanations.flatMap(({ supports, contradicts }) => [...supports, ...contradicts])).toEqual([]);
  });
});

describe('missing refrigerant', () => {
  const low = (subcooling_K: number, rest: Change = {}): Change => ({
    ...rest,
    conditions: { subcooling_K, ...rest.conditions },
  });

  it('is only watched while superheat is held (PUBLISHED, Choi & Kim 2002: little is felt down to -20 %)', () => {
    const one = found(findings(days(7, low(1))), 'undercharge-suspected')!;
    expect(one.urgency).toBe('watch');
    expect(one.certainty).toBe('possible');
  });

  it('costs little by waiting, but not where the refrigerant burns (ANSI/ASHRAE Standard 34: R290 is A3, R134a A1)', () => {
    const waiting = (refrigerant: string) =>
      found(findings(days(7, low(1)), { refrigerant }), 'undercharge-suspected')!.waiting.sentence.text;
    expect(waiting('R134a')).toMatch(/costs little/);
    expect(waiting('R290')).toBe('If there is a leak, it continues, and this refrigerant is flammable.');
  });

  it('is this week with subcooling gone, the valve far open and superheat high', () => {
    const all = low(0.3, {
      superheat: { mean_K: 9, offset_K: 3 },
      conditions: { valveOpening_pct: 95 },
    });
    const one = found(findings(days(7, all)), 'undercharge-suspected')!;
    expect(one.urgency).toBe('this-week');
    expect(one.certainty).toBe('likely');
    expect(one.explanations[0]!.cause).toBe('missing refrigerant');
  });

  it('is likelier after a fall of subcooling, and doubted where it never was higher', () => {
    const fallen = found(findings([...days(14), ...days(7, low(1), 14)]), 'undercharge-suspected')!;
    const always = found(findings(days(21, low(1))), 'undercharge-suspected')!;
    expect(fallen.explanations[0]!.weight).toBeGreaterThan(always.explanations[0]!.weight);
    expect(fallen.reasons.some(({ text }) => text.includes('has fallen'))).toBe(true);
    expect(always.explanations[0]!.contradicts).toHaveLength(1);
  });

  it('is not claimed at 2.5 K of subcooling, nor without subcooling', () => {
    expect(findings(days(7, low(2.5)))).toEqual([]);
    expect(findings(days(7, { conditions: { subcooling_K: null } }))).toEqual([]);
  });
});

describe('a fouled condenser', () => {
  const hot: Change = { conditions: { condensingTemperature_K: 315, subcooling_K: 6 } };

  it('is suspected where condensing lies 3 K over the other circuit in the same hours at like load', () => {
    const one = found(findings(days(7, hot), { neighbours: [days(7)] }), 'condenser-fouling-suspected')!;
    expect(one.headline.quantities.rise!.value).toBeCloseTo(3, 6);
    expect(one.certainty).toBe('likely');
  });

  it('is not claimed on the cooler circuit, at unlike loads, without a neighbour or from a day of few hours', () => {
    const condition = 'condenser-fouling-suspected';
    expect(found(findings(days(7), { neighbours: [days(7, hot)] }), condition)).toBeUndefined();
    const idle = days(7, { conditions: { compressorLoad_pct: 40 } });
    expect(found(findings(days(7, hot), { neighbours: [idle] }), condition)).toBeUndefined();
    expect(found(findings(days(7, hot)), condition)).toBeUndefined();
    expect(found(findings(days(7, hot).slice(0, 4), { neighbours: [days(7)] }), condition)).toBeUndefined();
  });

  it('is not claimed from hours in which the evaporator starves', () => {
    const starved = { ...hot, superheat: { starvedFraction: 0.9, mean_K: 18, offset_K: 12 } };
    const list = findings(days(7, starved), { neighbours: [days(7)] });
    expect(found(list, 'condenser-fouling-suspected')).toBeUndefined();
  });
});
