import { describe, expect, it } from 'vitest';
import { effectOfBias, superheatReads } from './effect-on-machine.js';

const running = (read_K: number, true_K: number) => ({ read_K, true_K, setpoint_K: 6, floodbackLimit_K: 2 });

describe('what a wrong sensor does to the machine', () => {
  it('opens the valve where suction temperature reads high or suction pressure reads low', () => {
    // Superheat is suction temperature less the saturation temperature, which rises with pressure.
    expect(superheatReads('suction-temperature', true)).toBe('too-high');
    expect(superheatReads('suction-pressure', false)).toBe('too-high');
    expect(superheatReads('suction-temperature', false)).toBe('too-low');
    expect(superheatReads('suction-pressure', true)).toBe('too-low');
    expect(superheatReads('discharge-pressure', true)).toBe('not-affected');
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
});
