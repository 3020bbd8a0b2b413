import { describe, expect, it } from 'vitest';
import type { Departure } from '../../../normal/departures/departures.js';
import type { JudgedPlateau } from '../../../normal/departures/judge-plateaus.js';
import type { NormalQuantity } from '../../../normal/quantities/quantities.js';
import type { Cause } from '../../cause.js';
import { only } from '../../causes/sample-channels.js';
import { normalOf, off } from '../../causes/sample-departures.js';
import type { Hazard } from '../../finding.js';
import { departureSymptom } from './departure-symptom.js';

const expected = {
  condenserApproach_K: 3,
  subcooling_K: 5,
  superheat_K: 6,
  condenserFlow_m3_s: 0.02,
  evaporatorFlow_m3_s: 0.02,
  compressorPower_W: 1000,
  valveOpening_pct: 50,
  compressorLoad_pct: 60,
} as const;
type Shown = keyof typeof expected;
const normal = normalOf(expected);

/** A plateau of 30 minutes, `k` hours on, that shows these values with unit deviations of the differences. */
function plateau(values: Partial<Record<Shown, number>>, k = 0): JudgedPlateau {
  const names = (Object.keys(expected) as Shown[]).filter((name) => name in values);
  const departures: Partial<Record<NormalQuantity, Departure>> = {};
  for (const name of names)
    departures[name] = { value: values[name]!, expected: expected[name], z: values[name]! - expected[name] };
  return {
    from_s: 3600 * k,
    to_s: 3600 * k + 1800,
    distance: 2,
    overLimit: true,
    departures,
    detail: off(
      only({}),
      Object.fromEntries(names.map((name) => [name, [values[name]! - expected[name], 1]])) as Parameters<
        typeof off
      >[1],
    ),
  };
}

const symptom = (
  over: readonly JudgedPlateau[],
  { slow = false, causes = [] as [Cause, number][], hazards = [] as Hazard[] } = {},
) =>
  departureSymptom({
    circuit: 2,
    normal,
    over,
    slow,
    causes: causes.map(([cause, weight]) => ({ cause, weight, severity: 1 })),
    hazards,
  });

describe('the departure of a circuit', () => {
  it('is said of the quantity that is off most, the others after it', () => {
    const found = symptom([plateau({ subcooling_K: 2, condenserApproach_K: 8, superheat_K: 8.5 })])!;
    expect(found).toMatchObject({
      condition: 'departs-from-normal',
      subject: { kind: 'circuit', circuit: 2 },
    });
    // 5, 3 and 2.5 standard uncertainties.
    expect(found.headline.text).toMatch(
      /^The condenser approach is \{value\}, where this circuit showed \{expected\}/,
    );
    expect(found.headline.quantities).toEqual({
      value: { kind: 'temperature-difference', value: 8 },
      expected: { kind: 'temperature-difference', value: 3 },
    });
    expect(found.reasons.map(({ text }) => text.split(' is ')[0])).toEqual([
      'Subcooling',
      'Superheat',
      expect.stringMatching(/^Compared with/),
    ]);
    expect(found.reasons[0]!.quantities.value!.value).toBe(2);
  });

  it('is said of those two standard uncertainties off, at most four', () => {
    const found = symptom([plateau({ condenserApproach_K: 13, subcooling_K: 7, superheat_K: 7.9 })])!;
    expect(found.reasons).toHaveLength(2);
    const many = symptom([
      plateau({
        condenserApproach_K: 13,
        subcooling_K: 14,
        superheat_K: 14,
        compressorLoad_pct: 67,
        valveOpening_pct: 56,
        compressorPower_W: 1004,
      }),
    ])!;
    // One in the headline, three in the reasons, and what it is based on.
    expect(many.reasons).toHaveLength(4);
    expect(many.headline.text).toMatch(/^The condenser approach/);
  });

  it('is said of several together where none is off by itself', () => {
    const found = symptom([plateau({ condenserApproach_K: 4.9, subcooling_K: 3.1 })])!;
    expect(found.headline.text).toMatch(/^Several quantities together/);
    expect(found.reasons).toHaveLength(1);
  });

  it('is said as a share of a flow, a power or an opening, above or below', () => {
    const of = (values: Partial<Record<Shown, number>>) => symptom([plateau(values)])!.headline;
    const opening = of({ valveOpening_pct: 60 });
    expect(opening.text).toMatch(/^The valve opening is \{by\} above what/);
    expect(opening.quantities.by).toMatchObject({ kind: 'share' });
    expect(opening.quantities.by!.value).toBeCloseTo(0.2, 12);
    const power = of({ compressorPower_W: 900 });
    expect(power.text).toMatch(/^Compressor power is \{by\} below what/);
    expect(power.quantities.by!.value).toBeCloseTo(0.1, 12);
    expect(of({ compressorLoad_pct: 70 }).quantities.value).toEqual({ kind: 'percent-opening', value: 70 });
  });

  it('has the means of the plateaus, and is based on their number and on what was learned', () => {
    const found = symptom([
      plateau({ subcooling_K: 1 }),
      plateau({ subcooling_K: 2 }, 1),
      plateau({ subcooling_K: 0 }, 5),
    ])!;
    expect(found.headline.quantities.value!.value).toBeCloseTo(1, 12);
    expect(found.headline.quantities.expected!.value).toBeCloseTo(5, 12);
    const basis = found.reasons.at(-1)!.quantities;
    expect([basis.learned!.value, basis.seen!.value]).toEqual([100, 3]);
    expect([found.firstSeen_s, found.lastSeen_s]).toEqual([0, 5 * 3600 + 1800]);
  });

  it('asks for nobody where no quantity shows it by itself, unless what leaks is a danger', () => {
    // Two quantities that are off by 1.8 standard uncertainties each, and one that is off by 3.
    const [together, alone] = [
      [plateau({ subcooling_K: 6.8, superheat_K: 4.2 })],
      [plateau({ subcooling_K: 8 })],
    ];
    const fouled = { causes: [['condenser-fouled', 0.9]] as [Cause, number][] };
    expect(symptom(alone, fouled)!.urgency).toBe('next-visit');
    expect(symptom(together, fouled)!.urgency).toBe('watch');
    const leak = {
      causes: [['missing-refrigerant', 0.9]] as [Cause, number][],
      hazards: ['flammable'] as Hazard[],
    };
    expect(symptom(together, leak)!.urgency).toBe('today');
  });

  it('is certain from three plateaus on, and likely where it shows in a sum of days only, which it says', () => {
    const several = (count: number) =>
      Array.from({ length: count }, (_, k) => plateau({ subcooling_K: 1 }, k));
    expect(symptom(several(3))!.certainty).toBe('certain');
    expect(symptom(several(2))!.certainty).toBe('likely');
    const slow = symptom(several(5), {
      slow: true,
      causes: [['missing-refrigerant', 0.9]],
      hazards: ['flammable'],
    })!;
    expect(slow.certainty).toBe('likely');
    expect(slow.urgency).toBe('watch');
    expect(slow.reasons.some(({ text }) => text.startsWith('It is small on any one day'))).toBe(true);
    expect(symptom(several(5))!.reasons.some(({ text }) => text.startsWith('It is small'))).toBe(false);
  });

  it('is none where nothing could be compared', () => {
    expect(symptom([])).toBeNull();
    expect(symptom([plateau({})])).toBeNull();
  });
});

// Judgement, no source: how soon each asks for someone.
describe('its urgency', () => {
  const urgency = (causes: [Cause, number][], hazards: Hazard[] = []) => {
    const found = symptom([plateau({ subcooling_K: 1 })], { causes, hazards })!;
    return [found.urgency, found.waiting.score];
  };

  it('is today for a likely leak of what burns or poisons, this week for any other', () => {
    expect(urgency([['missing-refrigerant', 0.51]], ['flammable'])).toEqual(['today', 60]);
    expect(urgency([['missing-refrigerant', 0.5]], ['toxic'])).toEqual(['watch', 20]);
    expect(urgency([['missing-refrigerant', 0.9]])).toEqual(['this-week', 40]);
    expect(urgency([['condenser-fouled', 0.9]], ['flammable'])).toEqual(['next-visit', 20]);
  });

  it('is this week for flows, a compressor and gas, the next visit for the rest', () => {
    for (const cause of [
      'condenser-flow-low',
      'evaporator-flow-low',
      'compressor-weak',
      'gas-in-circuit',
    ] as const)
      expect(urgency([[cause, 0.8]])).toEqual(['this-week', 40]);
    for (const cause of ['condenser-fouled', 'evaporator-fouled', 'sensor-wrong', 'valve-offset'] as const)
      expect(urgency([[cause, 0.9]])).toEqual(['next-visit', 20]);
  });

  it('is no more than each likely rival asks for', () => {
    const of = (rival: Cause, weight: number) =>
      urgency([
        ['gas-in-circuit', 0.8],
        [rival, weight],
      ]);
    expect(of('sensor-wrong', 0.25)).toEqual(['next-visit', 20]);
    expect(of('sensor-wrong', 0.1)).toEqual(['this-week', 40]);
    expect(of('condenser-flow-low', 0.25)).toEqual(['this-week', 40]);
    // What is not known asks for nothing by itself.
    expect(of('something-else', 0.25)).toEqual(['this-week', 40]);
  });

  it('is to watch where no cause is told from the others, or none is known', () => {
    expect(urgency([])).toEqual(['watch', 20]);
    expect(urgency([['missing-refrigerant', 0.29]], ['toxic'])).toEqual(['watch', 20]);
    expect(urgency([['condenser-fouled', 0.74]])).toEqual(['watch', 20]);
    expect(urgency([['condenser-fouled', 0.75]])).toEqual(['next-visit', 20]);
    expect(urgency([['something-else', 0.99]])).toEqual(['watch', 20]);
  });
});
