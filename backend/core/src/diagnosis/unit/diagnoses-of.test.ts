import { describe, expect, it } from 'vitest';
import { finishFinding, type FindingDraft } from '../draft.js';
import type { Explanation, Finding, FindingSubject } from '../finding.js';
import { statement } from '../statement.js';
import { causeName } from './explaining/cause-wording.js';
import { diagnosesOf } from './diagnoses-of.js';

const explanation = (cause: string, weight: number): Explanation => ({
  cause,
  weight,
  supports: [],
  contradicts: [],
});

const finding = (
  condition: string,
  subject: FindingSubject,
  { seen_s = 100, ...change }: Partial<FindingDraft> & { seen_s?: number } = {},
): Finding =>
  finishFinding(
    {
      condition,
      headline: statement(`It is ${condition}.`),
      reasons: [],
      certainty: 'certain',
      urgency: 'next-visit',
      score: 10,
      waiting: statement('It waits.'),
      ...change,
    },
    { subject, hazards: [], firstSeen_s: seen_s, lastSeen_s: 1000 },
  );
const circuit = (number: number): FindingSubject => ({ kind: 'circuit', circuit: number });
const module: FindingSubject = { kind: 'module', module: 1 };
const sensor = (number: number, name: string): FindingSubject => ({
  kind: 'sensor',
  circuit: number,
  sensor: name,
});
const two = { refrigerant: 'R134a', circuits: [{ number: 1 }, { number: 2 }] };
const lowCharge = (weight: number) =>
  finding('departs-from-normal', circuit(1), {
    explanations: [explanation(causeName('missing-refrigerant'), weight)],
  });

describe('the diagnoses of a unit', () => {
  // Judgement, no source: an evaporator that is wetted and runs dry by turns does less than it did.
  it('ask nobody for an evaporator whose circuit hunts, until the hunting is ended', () => {
    const departs = (cause: 'evaporator-flow-low' | 'condenser-fouled', number: number) =>
      finding('departs-from-normal', circuit(number), {
        explanations: [explanation(causeName(cause), 0.9)],
      });
    const hunting = (certainty: 'certain' | 'possible') =>
      finding('hunting', circuit(1), {
        certainty,
        explanations: [explanation(causeName('load-swings'), 0.9)],
      });
    const urgencies = (...all: Finding[]) =>
      Object.fromEntries(diagnosesOf(two, all).map(({ cause, urgency }) => [cause, urgency]));
    expect(urgencies(departs('evaporator-flow-low', 1), hunting('certain'))).toEqual({
      'load-swings': 'next-visit',
      'evaporator-flow-low': 'watch',
    });
    expect(urgencies(departs('evaporator-flow-low', 1), hunting('possible'))).toMatchObject({
      'evaporator-flow-low': 'this-week',
    });
    expect(urgencies(departs('condenser-fouled', 1), hunting('certain'))).toMatchObject({
      'condenser-fouled': 'next-visit',
    });
  });

  it('are two lines where a backup module and a circuit fail, the more urgent first', () => {
    const fouled = finding('departs-from-normal', circuit(1), {
      explanations: [
        explanation(causeName('condenser-fouled'), 0.8),
        explanation(causeName('gas-in-circuit'), 0.15),
      ],
    });
    const worn = finding('cannot-close', module, { urgency: 'today' });
    const found = diagnosesOf(two, [fouled, worn]);
    expect(found.map(({ cause, subject, urgency }) => [cause, subject, urgency])).toEqual([
      ['capacitor-worn', module, 'today'],
      ['condenser-fouled', circuit(1), 'next-visit'],
    ]);
    expect(found[1]!.rivals[0]).toEqual({ cause: 'gas-in-circuit', weight: 0.15 });
    expect(found[1]!.separatingCheck!.text).toMatch(/long stop/);
  });

  it('have what only follows from the cause beneath them, and since when what points to it was seen', () => {
    const bias = finding('sensor-bias', sensor(1, 'suction-temperature'), { seen_s: 300, score: 30 });
    const hunting = finding('hunting', circuit(1), { seen_s: 50, score: 70, urgency: 'this-week' });
    const [only, ...others] = diagnosesOf(two, [hunting, bias]);
    expect(others).toEqual([]);
    expect(only).toMatchObject({
      cause: 'sensor-wrong',
      subject: sensor(1, 'suction-temperature'),
      since_s: 300,
      urgency: 'this-week',
      waiting: { score: 70 },
    });
    expect(only!.symptoms).toEqual([bias, hunting]);
    expect(only!.consequences).toEqual([hunting]);
  });

  it('are one for an error of the registry that every circuit shows, and for each circuit that shows one alone', () => {
    const wrong = (number: number) =>
      finding('gauge-taken-for-absolute', sensor(number, 'suction-pressure'), {
        explanations: [explanation(causeName('registry-wrong'), 0.95)],
      });
    const both = diagnosesOf(two, [wrong(1), wrong(2)]);
    expect(both.map(({ cause, subject }) => [cause, subject])).toEqual([
      ['registry-wrong', { kind: 'unit' }],
    ]);
    expect(both[0]!.symptoms).toHaveLength(2);
    const one = diagnosesOf(two, [wrong(2), finding('floodback-risk', circuit(2))]);
    expect(one.map(({ cause, subject }) => [cause, subject])).toEqual([
      ['registry-wrong', sensor(2, 'suction-pressure')],
    ]);
  });

  it('are as certain as what was seen where no known cause explains it', () => {
    const [limit] = diagnosesOf(two, [finding('valve-at-limit', circuit(1))]);
    expect(limit).toMatchObject({ cause: 'something-else', certainty: 'certain' });
    expect(limit!.headline.text).toBe('None of the known causes explains this well.');
  });

  it('stay with the cause that stands on the circuit or the whole unit, and on no other circuit', () => {
    const close = finding('departs-from-normal', circuit(1), {
      explanations: [
        explanation(causeName('condenser-fouled'), 0.44),
        explanation(causeName('gas-in-circuit'), 0.42),
      ],
    });
    const named = (subject: FindingSubject) =>
      diagnosesOf(two, [close], [{ cause: 'gas-in-circuit', subject }])[0]!.cause;
    expect(diagnosesOf(two, [close])[0]!.cause).toBe('condenser-fouled');
    expect(named(circuit(1))).toBe('gas-in-circuit');
    expect(named(sensor(1, 'discharge-pressure'))).toBe('gas-in-circuit');
    expect(named({ kind: 'unit' })).toBe('gas-in-circuit');
    expect(named(circuit(2))).toBe('condenser-fouled');
    expect(named(module)).toBe('condenser-fouled');
  });

  it('have no part of a unit that sends nothing: that is no symptom of the machine', () => {
    expect(diagnosesOf(two, [finding('no-telemetry', { kind: 'unit' })])).toEqual([]);
    expect(diagnosesOf(two, [])).toEqual([]);
  });
});

describe('hunting of two circuits', () => {
  const swings = (number: number, ...weights: [Parameters<typeof causeName>[0], number][]) =>
    finding('hunting', circuit(number), {
      urgency: number === 1 ? 'this-week' : 'next-visit',
      explanations: weights.map(([cause, weight]) => explanation(causeName(cause), weight)),
    });
  const follows = swings(2, ['circuits-disturb-each-other', 0.9]);
  const named = (...all: Finding[]) =>
    diagnosesOf(two, all).map(({ cause, subject }) => [cause, (subject as { circuit: number }).circuit]);

  it('is one problem where one swings by itself and the other follows it', () => {
    const [only, ...others] = diagnosesOf(two, [swings(1, ['loop-tuned-too-hard', 0.97]), follows]);
    expect(others).toEqual([]);
    expect(only).toMatchObject({ cause: 'loop-tuned-too-hard', subject: circuit(1), urgency: 'this-week' });
    expect(only!.consequences).toEqual([follows]);
  });

  it('is said of both where the other may take part, or hardly anything is known of it', () => {
    const both = [
      ['loop-tuned-too-hard', 1],
      ['circuits-disturb-each-other', 2],
    ];
    const shared = swings(1, ['loop-tuned-too-hard', 0.6], ['circuits-disturb-each-other', 0.35]);
    expect(named(shared, follows)).toEqual(both);
    expect(named(swings(1, ['loop-tuned-too-hard', 0.45], ['valve-friction', 0.4]), follows)).toEqual(both);
    expect(named(swings(1, ['circuits-disturb-each-other', 0.9]), follows)).toEqual([
      ['circuits-disturb-each-other', 1],
      ['circuits-disturb-each-other', 2],
    ]);
  });
});

describe('a suspected leak', () => {
  // ANSI/ASHRAE Standard 34: R290 is A3, R717 B2L, R123 B1, R134a A1.
  const of = (refrigerant: string, weight = 0.8) =>
    diagnosesOf({ ...two, refrigerant }, [lowCharge(weight)])[0]!;

  it('of what burns or poisons is for today and has cautions of its own', () => {
    const propane = of('R290');
    expect(propane).toMatchObject({ cause: 'missing-refrigerant', urgency: 'today' });
    expect(propane.hazards).toContain('flammable');
    expect(propane.cautions[0]).toMatch(/R290 may have leaked, and it is flammable \(class A3\)/);
    expect(propane.cautions.join(' ')).not.toMatch(/toxic/);
    const ammonia = of('R717');
    expect(ammonia.hazards).toEqual(expect.arrayContaining(['flammable', 'toxic']));
    expect(ammonia.cautions).toHaveLength(3);
    expect(of('R123').cautions[0]).toMatch(/toxic \(class B1\)/);
    expect(ammonia.cautions.at(-1)).toMatch(/Local codes/);
  });

  it('of what burns or poisons costs by waiting what it endangers, and not what its symptoms cost', () => {
    const [propane, ammonia, r123] = ['R290', 'R717', 'R123'].map((each) => of(each).waiting);
    expect(propane.sentence.text).toMatch(/a mixture that burns can form/);
    expect(propane.sentence.text).not.toMatch(/poisoned/);
    expect(r123.sentence.text).toMatch(/poisoned/);
    expect(r123.sentence.text).not.toMatch(/burns/);
    expect(ammonia.sentence.text).toMatch(/poisoned.*burns/);
    expect(propane.score).toBeGreaterThanOrEqual(60);
    expect(of('R134a').waiting.sentence.text).toBe('It waits.');
  });

  it('of another refrigerant, or one that is hardly likely, is as urgent as any departure', () => {
    expect(of('R134a')).toMatchObject({ urgency: 'this-week', cautions: [] });
    expect(of('R290', 0.49)).toMatchObject({
      cause: 'missing-refrigerant',
      urgency: 'watch',
      cautions: [],
    });
    expect(of('R290', 0.5)).toMatchObject({ urgency: 'today' });
  });
});

describe('what a backup module shows', () => {
  const causeOf = (condition: string, explanations: Explanation[] = []) => {
    const [first] = diagnosesOf(two, [finding(condition, module, { explanations })]);
    return first!.cause;
  };

  it.each([
    ['cannot-close', 'capacitor-worn'],
    ['reserve-fading', 'capacitor-worn'],
    ['weak-cell', 'capacitor-cell-weak'],
    ['leaking-charge', 'module-leaks'],
    ['closing-unproven', 'module-unproven'],
  ])('%s points to %s', (condition, cause) => {
    expect(causeOf(condition)).toBe(cause);
  });

  it('points to what its own explanations name', () => {
    expect(causeOf('charger-low', [explanation('the charger is set too low or is worn', 0.7)])).toBe(
      'charger-weak',
    );
    expect(causeOf('sudden-loss', [explanation('one cell of the string has lost capacitance', 0.6)])).toBe(
      'capacitor-cell-weak',
    );
    expect(causeOf('sudden-loss', [explanation('a connection or solder joint has gone bad', 0.6)])).toBe(
      'something-else',
    );
    expect(causeOf('did-not-shut', [explanation('the valve sticks or its motor lost steps', 0.8)])).toBe(
      'valve-friction',
    );
  });

  it('is one problem where a worn capacitor brings the rest', () => {
    const found = diagnosesOf(two, [
      finding('did-not-shut', module, { explanations: [explanation('the module ran out of energy', 0.7)] }),
      finding('cannot-close', module),
      finding('health-fault', module),
    ]);
    expect(found.map(({ cause }) => cause)).toEqual(['capacitor-worn']);
    expect(found[0]!.consequences.map(({ condition }) => condition)).toEqual(['health-fault']);
  });

  it('is a worn capacitor where the module leaks too, and leakage where its reserve is whole', () => {
    const leaking = finding('leaking-charge', module, { urgency: 'next-visit' });
    const cannot = finding('cannot-close', module, { urgency: 'today' });
    const [first] = diagnosesOf(two, [leaking, cannot]);
    expect(first).toMatchObject({ cause: 'capacitor-worn', urgency: 'today' });
    expect(diagnosesOf(two, [leaking]).map(({ cause }) => cause)).toEqual(['module-leaks']);
  });
});
