import { describe, expect, it } from 'vitest';
import { effectOfBias, effectOnSuperheat } from './effect-on-machine.js';

const running = (read_K: number, true_K: number) => ({ read_K, true_K, setpoint_K: 6, floodbackLimit_K: 2 });

describe('what a wrong sensor does to the machine', () => {
  it('opens the valve where suction temperature reads high or suction pressure reads low', () => {
    // Superheat is suction temperature less the saturation temperature, which rises with pressure.
    expect(effectOnSuperheat('suction-temperature', true)).toBe('too-high');
    expect(effectOnSuperheat('suction-pressure', false)).toBe('too-high');
    expect(effectOnSuperheat('suction-temperature', false)).toBe('too-low');
    expect(effectOnSuperheat('suction-pressure', true)).toBe('too-low');
    expect(effectOnSuperheat('discharge-pressure', true)).toBe('not-affected');
  });

  it('is flooding, today, where 5 K too much is held at a setpoint of 6 K', () => {
    const effect = effectOfBias('suction-temperature', true, 5, running(6, 1));
    expect(effect.urgency).toBe('today');
    expect(effect.waiting.text).toContain('liquid can reach the compressor');
    expect(effect.reasons[0]!.quantities.right!.value).toBe(1);
  });

  it('is less urgent where enough superheat is left, and where superheat reads too low', () => {
    expect(effectOfBias('suction-temperature', true, 3.5, running(12, 8.5)).urgency).toBe('this-week');
    const starving = effectOfBias('suction-pressure', true, 3, running(6, 9));
    expect(starving.urgency).toBe('next-visit');
    expect(starving.waiting.text).toContain('capacity is lost');
    expect(effectOfBias('suction-pressure', true, 6, running(6, 12)).urgency).toBe('this-week');
  });

  it('says nothing of true superheat where running was not seen', () => {
    const effect = effectOfBias('suction-temperature', true, 2, running(NaN, NaN));
    expect(effect.reasons).toHaveLength(1);
    expect(effect.urgency).toBe('next-visit');
  });

  it('is held at the setpoint within 1.5 K', () => {
    const text = (read_K: number) =>
      effectOfBias('suction-temperature', true, 1, running(read_K, read_K - 1)).reasons[0]!.text;
    for (const read_K of [4.5, 6, 7.5]) expect(text(read_K)).toMatch(/holds the wrong reading/);
    for (const read_K of [4.4, 7.6]) expect(text(read_K)).toMatch(/without this error it is about/);
    // Without a setpoint nothing is held.
    const noSetpoint = effectOfBias('suction-temperature', true, 1, { ...running(6, 5), setpoint_K: NaN });
    expect(noSetpoint.reasons[0]!.text).toMatch(/without this error/);
    expect(noSetpoint.reasons[0]!.quantities.right!.value).toBe(5);
    expect(noSetpoint.reasons).toHaveLength(2);
  });

  // Judgement, no source.
  it('is for today under the floodback limit of true superheat, this week from 3 K too high or 5 K too low', () => {
    const urgency = (...of: Parameters<typeof effectOfBias>) => effectOfBias(...of).urgency;
    expect(urgency('suction-temperature', true, 1, running(3, 1.9))).toBe('today');
    expect(urgency('suction-temperature', true, 1, running(3, 2))).toBe('next-visit');
    expect(urgency('suction-temperature', true, 3, running(NaN, NaN))).toBe('this-week');
    expect(urgency('suction-temperature', true, 2.99, running(NaN, NaN))).toBe('next-visit');
    expect(urgency('suction-temperature', false, 5, running(NaN, NaN))).toBe('this-week');
    expect(urgency('suction-temperature', false, 4.99, running(NaN, NaN))).toBe('next-visit');
    // Reading too little starves: true superheat is higher than read, whatever it is.
    expect(urgency('suction-temperature', false, 1, running(0, 1))).toBe('next-visit');
  });

  it('is none on superheat control for a sensor of the high side, told by which way it reads', () => {
    for (const sensor of ['discharge-pressure', 'discharge-temperature', 'liquid-temperature'] as const) {
      const [high, low] = [true, false].map((way) => effectOfBias(sensor, way, 9, running(6, 1)));
      expect(high!.urgency).toBe('next-visit');
      expect(high!.reasons).toEqual([high!.waiting]);
      expect(high!.waiting.text).toMatch(/^Superheat control does not use this/);
      expect(high!.waiting.text).not.toBe(low!.waiting.text);
    }
    // Subcooling is the bubble point less the liquid temperature.
    expect(effectOfBias('liquid-temperature', true, 1, running(6, 6)).waiting.text).toMatch(
      /subcooling reads too low/,
    );
    expect(effectOfBias('discharge-temperature', true, 1, running(6, 6)).waiting.text).toMatch(
      /trips too early/,
    );
  });
});
