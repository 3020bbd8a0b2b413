import { describe, expect, it } from 'vitest';
import { mergeWrongRefrigerant } from './wrong-refrigerant.js';
import { sensorFinding } from './sample-sensor-finding.js';
import { statement } from './statement.js';

describe('a wrong refrigerant', () => {
  const on = (circuit: number, score: number) =>
    sensorFinding('wrong-refrigerant', 'suction-pressure', {
      subject: { kind: 'sensor', circuit, sensor: 'suction-pressure' },
      waiting: { score, sentence: statement('It costs.') },
    });

  it('on all circuits is one finding on the unit', () => {
    const other = sensorFinding('value-noisy', 'liquid-temperature');
    const merged = mergeWrongRefrigerant([on(1, 10), other, on(2, 30)], 2);
    expect(merged).toHaveLength(2);
    expect(merged[0]).toMatchObject({ subject: { kind: 'unit' }, waiting: { score: 30 } });
    expect(merged[0].headline.text).toBe('Both circuits behave like R513A, not like the registered R134a.');
    expect(merged[1]).toBe(other);
  });

  it('on all of three circuits says how many', () => {
    const [{ headline }] = mergeWrongRefrigerant([on(1, 10), on(2, 30), on(3, 20)], 3);
    expect(headline.text).toBe('All {circuits} circuits behave like R513A, not like the registered R134a.');
    expect(headline.quantities.circuits.value).toBe(3);
  });

  it('on one circuit of two, or on the only one, stays where it is', () => {
    expect(mergeWrongRefrigerant([on(1, 10)], 2)[0].subject.kind).toBe('sensor');
    expect(mergeWrongRefrigerant([on(1, 10)], 1)[0].subject.kind).toBe('sensor');
  });
});
