import { describe, expect, it } from 'vitest';
import { finishFinding, type FindingDraft } from './draft.js';
import { conditionsNotJudged, notJudgedOn, withoutNotJudged } from './not-judged.js';
import { sensorFinding } from './sample-sensor-finding.js';
import { quantity, rounded, statement, StatementError } from './statement.js';
import { mergeWrongRefrigerant } from './wrong-refrigerant.js';

describe('a statement', () => {
  it('has a quantity for every name in its text, and no other', () => {
    const made = statement('It swings by {amplitude} every {period}.', {
      amplitude: quantity('temperature-difference', 2, 0.1),
      period: quantity('duration', 200),
    });
    expect(made.quantities).toEqual({
      amplitude: { kind: 'temperature-difference', value: 2, uncertainty: 0.1 },
      period: { kind: 'duration', value: 200 },
    });
    expect(() => statement('By {amplitude}.')).toThrow(StatementError);
    expect(() => statement('By {amplitude}.')).toThrow(/"amplitude" is missing/);
    expect(() => statement('By much.', { amplitude: quantity('count', 1) })).toThrow(
      /"amplitude" is not used/,
    );
    expect(() => statement('By {amplitude}.', { amplitude: quantity('count', NaN) })).toThrow(/not finite/);
    expect(() => statement('By {amplitude}.', { amplitude: quantity('count', Infinity) })).toThrow(
      /not finite/,
    );
  });

  it('has its counts rounded to the figures that are known', () => {
    expect([10_459, 0.012345, -10_459, 0, 7].map((value) => rounded(value))).toEqual([
      10_500, 0.0123, -10_500, 0, 7,
    ]);
    expect(rounded(10_459, 2)).toBe(10_000);
    expect(rounded(Infinity)).toBe(Infinity);
    expect(rounded(NaN)).toBeNaN();
  });
});

describe('a finished finding', () => {
  const text = statement('So it is.');
  const about = { subject: { kind: 'unit' as const }, hazards: [], firstSeen_s: 1, lastSeen_s: 2 };
  const draft = (change: Partial<FindingDraft> = {}) =>
    finishFinding(
      {
        condition: 'hunting',
        headline: text,
        reasons: [],
        certainty: 'likely',
        urgency: 'watch',
        score: 10,
        waiting: text,
        ...change,
      },
      about,
    );
  const explanation = (cause: string, weight: number) => ({
    cause,
    weight,
    supports: [],
    contradicts: [],
  });

  it('has a score from 0 to 100 in whole numbers', () => {
    expect([-3, 0.4, 0.6, 99.6, 180].map((score) => draft({ score }).waiting.score)).toEqual([
      0, 0, 1, 100, 100,
    ]);
  });

  it('has its explanations likeliest first, and nothing where nothing was drafted', () => {
    const causes = draft({
      explanations: [explanation('b', 0.2), explanation('a', 0.7), explanation('c', 0.1)],
    }).explanations;
    expect(causes.map(({ cause }) => cause)).toEqual(['a', 'b', 'c']);
    expect(draft()).toMatchObject({
      explanations: [],
      separatingCheck: null,
      visit: [],
      firstSeen_s: 1,
      lastSeen_s: 2,
    });
    expect(draft({ separatingCheck: text, visit: [text] })).toMatchObject({
      separatingCheck: text,
      visit: [text],
    });
  });
});

describe('a wrong refrigerant on all circuits', () => {
  const on = (circuit: number, change: Parameters<typeof sensorFinding>[2]) =>
    sensorFinding('wrong-refrigerant', 'suction-pressure', {
      subject: { kind: 'sensor', circuit, sensor: 'suction-pressure' },
      ...change,
    });

  it('is as certain as both, seen from the first to the last of either, each reason said once', () => {
    const reasons = [statement('On both.'), statement('On the first.')];
    const [merged] = mergeWrongRefrigerant(
      [
        on(1, { certainty: 'certain', firstSeen_s: 50, lastSeen_s: 90, reasons }),
        on(2, { certainty: 'certain', firstSeen_s: 20, lastSeen_s: 80, reasons: [statement('On both.')] }),
      ],
      2,
    );
    expect(merged).toMatchObject({ certainty: 'certain', firstSeen_s: 20, lastSeen_s: 90 });
    expect(merged!.reasons.map(({ text }) => text)).toEqual(['On both.', 'On the first.']);
    const [unlike] = mergeWrongRefrigerant(
      [on(1, { certainty: 'certain' }), on(2, { certainty: 'possible' })],
      2,
    );
    expect(unlike!.certainty).toBe('likely');
  });

  it('is not two findings of one circuit, nor one that is on the unit already', () => {
    expect(mergeWrongRefrigerant([on(1, {}), on(1, {})], 2)).toHaveLength(2);
    const unit = sensorFinding('wrong-refrigerant', '', { subject: { kind: 'unit' } });
    expect(mergeWrongRefrigerant([on(1, {}), unit], 2)).toHaveLength(2);
  });
});

describe('what is not judged', () => {
  const on = (condition: string, sensor: string, circuit = 1) =>
    notJudgedOn([sensorFinding(condition, sensor, { subject: { kind: 'sensor', circuit, sensor } })], 1);

  it('is subcooling where the discharge pressure or the liquid temperature is wrong, on this circuit', () => {
    expect(on('sensor-bias', 'liquid-temperature')).toMatchObject({
      superheatLevel: false,
      superheatSwing: false,
      subcooling: true,
      condenserComparison: true,
    });
    expect(on('sensor-bias', 'discharge-temperature')).toMatchObject({
      superheatLevel: false,
      superheatSwing: false,
      subcooling: false,
      condenserComparison: false,
    });
    expect(on('sensor-bias', 'discharge-pressure', 2)).toMatchObject({
      subcooling: false,
      condenserComparison: true,
    });
  });

  it('is both where the refrigerant is wrong or the transducers are swapped; the swing only where these are', () => {
    const all = { superheatLevel: true, subcooling: true, condenserComparison: true };
    expect(on('wrong-refrigerant', 'suction-pressure')).toMatchObject({ ...all, superheatSwing: false });
    expect(on('transducers-swapped', 'suction-pressure')).toMatchObject({ ...all, superheatSwing: true });
    expect(conditionsNotJudged(on('wrong-refrigerant', 'suction-pressure'))).toContain(
      'undercharge-suspected',
    );
  });

  it('leaves findings as they are that are judged, and every check of a valve at its limit but the sensor', () => {
    const starved = sensorFinding('starved', '');
    const wear = sensorFinding('valve-wear', '');
    const limit = sensorFinding('valve-at-limit', '', {
      separatingCheck: statement('Look.'),
      visit: [statement('Bring.')],
    });
    const wrong = on('sensor-bias', 'suction-pressure');
    const kept = withoutNotJudged([starved, wear, limit], wrong);
    expect(kept.map(({ condition }) => condition)).toEqual(['valve-wear', 'valve-at-limit']);
    expect(kept[0]).toBe(wear);
    expect(kept[1]).toMatchObject({ separatingCheck: null, visit: [] });
    expect(withoutNotJudged([starved, limit], on('sensor-bias', 'liquid-temperature'))).toEqual([
      starved,
      limit,
    ]);
  });
});
