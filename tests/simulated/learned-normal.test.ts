import {
  findPlateaus,
  judgePlateaus,
  learnCircuitNormal,
  machineOf,
  signaturesOf,
  weighCausesOfDepartures,
  type Cause,
  type CircuitNormal,
  type Machine,
} from '@coldrounds/core';
import { beforeAll, describe, expect, it } from 'vitest';
import {
  randomChiller,
  standDay,
  type ChillerFault,
  type StandHabits,
  type TestChiller,
} from './water-cooled-chiller.js';

/** Faults of the size at which the laboratory faults of water-cooled chillers begin (Comstock & Braun 1999, ASHRAE RP-1043). */
const slight: { cause: Cause; fault: ChillerFault }[] = [
  { cause: 'gas-in-circuit', fault: { gas: 0.01 } },
  { cause: 'excess-refrigerant', fault: { charge: 0.1 } },
  { cause: 'condenser-flow-low', fault: { condenserFlow: 0.1 } },
  { cause: 'evaporator-flow-low', fault: { evaporatorFlow: 0.1 } },
];

interface Learned {
  chiller: TestChiller;
  machine: Machine;
  normal: CircuitNormal;
}

function learn(seed: number, habits: StandHabits = {}): Learned {
  const chiller = randomChiller(seed);
  const machine = machineOf({ refrigerant: chiller.refrigerant, evaporator: 'flooded' });
  const day = standDay(chiller, 100 * seed, {}, habits);
  const plateaus = findPlateaus(day, chiller.refrigerant);
  return { chiller, machine, normal: learnCircuitNormal(machine, plateaus, signaturesOf)! };
}

function judge(
  { chiller, machine, normal }: Learned,
  seed: number,
  fault: ChillerFault,
  habits: StandHabits = {},
) {
  const judged = judgePlateaus(
    machine,
    normal,
    findPlateaus(standDay(chiller, seed, fault, habits), chiller.refrigerant),
    true,
  );
  const over = judged.filter(({ overLimit }) => overLimit);
  const causes = weighCausesOfDepartures(
    machine,
    normal,
    (over.length > 0 ? over : judged).map(({ detail }) => detail),
  );
  return { judged: judged.length, over: over.length, causes };
}

describe('a flooded chiller run through 27 conditions a day, learned from one day', () => {
  const learned: Learned[] = [];
  beforeAll(() => {
    for (let seed = 1; seed <= 10; seed++) learned.push(learn(seed));
  }, 180_000);

  it('has about one plateau per condition', () => {
    for (const { normal } of learned) {
      expect(normal.plateaus).toBeGreaterThanOrEqual(22);
      expect(normal.plateaus).toBeLessThanOrEqual(34);
    }
  });

  it('is over the limit on at most one of 24 plateaus of other normal days, all machines together', () => {
    let judged = 0;
    let over = 0;
    learned.forEach((one, k) => {
      for (const day of [61, 62]) {
        const result = judge(one, 1000 * k + day, {});
        judged += result.judged;
        over += result.over;
      }
    });
    expect(over / judged).toBeLessThanOrEqual(1 / 24);
  });

  it.each(slight)('is over the limit on 95 % of plateaus, and tells $cause first', ({ cause, fault }) => {
    let judged = 0;
    let over = 0;
    let right = 0;
    learned.forEach((one, k) => {
      const result = judge(one, 1000 * k + 71, fault);
      judged += result.judged;
      over += result.over;
      if (result.causes[0].cause === cause) right++;
    });
    expect(over / judged).toBeGreaterThanOrEqual(0.95);
    expect(right).toBeGreaterThanOrEqual(8);
  });

  it('tells larger faults of either exchanger, of charge and of the compressor', () => {
    const larger: { cause: Cause; fault: ChillerFault }[] = [
      { cause: 'condenser-fouled', fault: { condenserTubes: 0.35 } },
      { cause: 'evaporator-fouled', fault: { evaporatorTubes: 0.3 } },
      { cause: 'compressor-weak', fault: { compressor: 0.08 } },
      { cause: 'missing-refrigerant', fault: { charge: -0.2 } },
    ];
    for (const { cause, fault } of larger) {
      const right = learned.filter((one, k) => judge(one, 1000 * k + 81, fault).causes[0].cause === cause);
      expect(right.length, cause).toBeGreaterThanOrEqual(7);
    }
  });
});

describe('the probability of the first cause', () => {
  it('is right about as often as it says, over faults of many sizes', () => {
    let sure = 0;
    let sureAndRight = 0;
    for (let seed = 31; seed <= 36; seed++) {
      const one = learn(seed, { step_s: 60 });
      const size = 0.6 + (seed % 3) * 0.4;
      const faults: [Cause, ChillerFault][] = [
        ['gas-in-circuit', { gas: 0.01 * size }],
        ['excess-refrigerant', { charge: 0.12 * size }],
        ['condenser-flow-low', { condenserFlow: 0.1 * size }],
        ['evaporator-flow-low', { evaporatorFlow: 0.1 * size }],
        ['condenser-fouled', { condenserTubes: 0.3 * size }],
        ['evaporator-fouled', { evaporatorTubes: 0.3 * size }],
        ['missing-refrigerant', { charge: -0.12 * size }],
        ['compressor-weak', { compressor: 0.06 * size }],
      ];
      for (const [cause, fault] of faults) {
        const { over, causes } = judge(one, 100 * seed + 50, fault, { step_s: 60 });
        if (over < 3 || causes[0].weight < 0.9) continue;
        sure++;
        if (causes[0].cause === cause) sureAndRight++;
      }
    }
    expect(sure).toBeGreaterThan(24);
    expect(sureAndRight / sure).toBeGreaterThanOrEqual(0.9);
  });
});

describe('the same with less telemetry', () => {
  it.each([
    ['samples 2 min apart', { step_s: 120 }],
    ['25 min at each condition', { dwell_min: 25 }],
    ['no power', { without: ['compressorPower_W'] }],
    ['no flows', { without: ['waterFlow_m3_s', 'condenserFlow_m3_s'] }],
    ['no liquid temperature', { without: ['liquidTemperature_K'] }],
  ] as [string, StandHabits][])('%s: gas is found and low condenser flow named', (_, habits) => {
    let falseAlarms = 0;
    let judged = 0;
    for (let seed = 1; seed <= 3; seed++) {
      const one = learn(seed, habits);
      const normal = judge(one, 5000 + seed, {}, habits);
      falseAlarms += normal.over;
      judged += normal.judged;
      const gas = judge(one, 6000 + seed, { gas: 0.01 }, habits);
      expect(gas.over / gas.judged).toBeGreaterThanOrEqual(0.95);
      const flow = judge(one, 7000 + seed, { condenserFlow: 0.2 }, habits);
      expect(flow.causes[0].cause).toBe('condenser-flow-low');
    }
    expect(falseAlarms / judged).toBeLessThanOrEqual(1 / 24);
  });
});
