import { describe, expect, it } from 'vitest';
import type { CircuitEntry } from '../../telemetry/index.js';
import { BackupInputError } from '../errors.js';
import { circuit, closing, module } from '../sample-modules.js';
import { circuitsOf, closingDemand } from './closing-energy.js';
import { motorPower_W } from './drive-power.js';

const circuitWith = (number: number, valve: Partial<CircuitEntry['valve']> = {}): CircuitEntry => ({
  ...circuit,
  number,
  valve: { ...circuit.valve, ...valve },
});

describe('what a closing needs', () => {
  it('is power times the time of the steps: 110 % of 3800 steps at 630 a second and 9 W, 59.7 J by hand', () => {
    const valve = { fullStroke_steps: 3800, rate_steps_s: 630 };
    const demand = closingDemand({ ...module, drivePower_W: 9 }, [circuitWith(1, valve)], 100);
    expect(demand.energy_J).toBeCloseTo(59.714, 3);
    expect(demand.peakPower_W).toBe(9);
    expect(demand.time_s).toBeCloseTo(6.635, 3);
  });

  it('is added up over motors and circuits, which start together', () => {
    const two = { ...module, circuits: [1, 2] };
    // 5.5 s of one motor and, at half the rate, 11 s of two, 8 W each.
    const demand = closingDemand(
      two,
      [circuitWith(1), circuitWith(2, { motors: 2, rate_steps_s: 200 })],
      100,
    );
    expect(demand.energy_J).toBeCloseTo(8 * 5.5 + 2 * 8 * 11, 9);
    expect(demand.peakPower_W).toBe(24);
    expect(demand.time_s).toBeCloseTo(11, 9);
  });

  it('is for a shut valve the overdrive alone, and goes by a measured power where one is given', () => {
    expect(closingDemand(module, [circuit], 0).energy_J).toBeCloseTo(8 * 0.5, 9);
    expect(closingDemand(module, [circuit], 100, 10).energy_J).toBeCloseTo(55, 9);
  });

  it('is asked only of openings from 0 to 100 % and of circuits that the module shuts', () => {
    expect(() => closingDemand(module, [circuit], 100.1)).toThrow(BackupInputError);
    expect(() => closingDemand(module, [circuit], -0.1)).toThrow(/opening_pct/);
    expect(() => closingDemand(module, [circuit], NaN)).toThrow(/opening_pct/);
    expect(() => closingDemand(module, [circuitWith(2)], 50)).toThrow(/circuits/);
    expect(
      circuitsOf(
        { ...module, circuits: [2, 3] },
        [1, 2, 3].map((n) => circuitWith(n)),
      ).map(({ number }) => number),
    ).toEqual([2, 3]);
  });
});

describe('the power of one motor', () => {
  const measured = (watts: (number | null)[]) =>
    watts.map((drivePower_W, day) => closing(day, { drivePower_W }));

  it('is the median measured one where that is over the registered by 5 %', () => {
    expect(motorPower_W(module, [circuit], measured([9, 9.5, 10, 10, 30]))).toBe(10);
    expect(motorPower_W(module, [circuit], measured([8.5, 8.5, 8.41, 8.3, 8]))).toBe(8.41);
    expect(motorPower_W(module, [circuit], measured([8.5, 8.5, 8.39, 8.3, 8]))).toBe(8);
    expect(motorPower_W(module, [circuit], measured([5, 5, 5, 5, 5]))).toBe(8);
  });

  it('is the registered one under five measurements', () => {
    expect(motorPower_W(module, [circuit], measured([10, 10, 10, 10, null]))).toBe(8);
    expect(motorPower_W(module, [], measured([10, 10, 10, 10, 10]))).toBe(8);
  });

  it('is that of all motors shared among them, by the last thirty closings', () => {
    const pair = [circuitWith(1), circuitWith(2)];
    expect(motorPower_W(module, pair, measured([20, 20, 20, 20, 20]))).toBe(10);
    const late = [...new Array<number>(40).fill(12), ...new Array<number>(30).fill(10)];
    expect(motorPower_W(module, [circuit], measured(late))).toBe(10);
  });
});
