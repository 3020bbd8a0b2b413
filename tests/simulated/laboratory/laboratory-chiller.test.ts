import {
  findPlateaus,
  judgePlateaus,
  learnCircuitNormal,
  machineOf,
  signaturesOf,
  weighCausesOfDepartures,
  type Cause,
  type CircuitNormal,
  type CircuitSeries,
  type Machine,
} from '@coldrounds/core';
import { beforeAll, describe, expect, it } from 'vitest';
import { seededRandom } from '../../../backend/core/src/numerics/index.js';
import {
  channels,
  laboratoryChiller,
  steadyReadings,
  type Changes,
  type LaboratoryChiller,
} from './laboratory-chiller.js';
import { laboratoryDay, type Day } from './laboratory-day.js';

/** Sizes at which the laboratory faults of water-cooled chillers begin (Comstock & Braun 1999, ASHRAE RP-1043, from memory). */
const slight: { cause: Cause; fault: Changes }[] = [
  { cause: 'gas-in-circuit', fault: { gas: 0.01 } },
  { cause: 'excess-refrigerant', fault: { charge: 0.1 } },
  { cause: 'condenser-flow-low', fault: { condenserFlow: 0.1 } },
  { cause: 'evaporator-flow-low', fault: { evaporatorFlow: 0.1 } },
];
const seeds = [1, 2, 3, 4, 5];

describe('the laboratory chiller itself', () => {
  it('rejects what it takes up and what its compressor does to the vapour, and its motor warms the room', () => {
    for (const seed of seeds) {
      const chiller = laboratoryChiller(seed);
      const at = steadyReadings(chiller, { load: 0.8, cooling_K: 298, chilled_K: 280 });
      const rejected =
        at.condenserFlow_m3_s *
        4.17e6 *
        (at.condenserLeavingTemperature_K - at.condenserEnteringTemperature_K);
      const share = (rejected - 0.8 * chiller.capacity_W) / at.compressorPower_W;
      expect(share).toBeGreaterThan(0.75);
      expect(share).toBeLessThan(1);
    }
  });

  // Signs of the published laboratory tests (Comstock, Braun & Groll 2001, HVAC&R Research 7:263, from memory).
  it('answers each fault with the signs of published tests', () => {
    for (const seed of seeds) {
      const chiller = laboratoryChiller(seed);
      const at = { load: 0.8, cooling_K: 298, chilled_K: 280 };
      const sound = steadyReadings(chiller, at);
      const with_ = (changes: Changes) => steadyReadings(chiller, at, changes);
      const subcooled = ({ dischargePressure_Pa: p, liquidTemperature_K: t }: typeof sound) => p / 25e3 - t;
      for (const fault of [{ gas: 0.01 }, { charge: 0.1 }, { condenserFlow: 0.1 }, { condenserTubes: 0.12 }])
        expect(with_(fault).dischargePressure_Pa).toBeGreaterThan(sound.dischargePressure_Pa);
      expect(subcooled(with_({ gas: 0.01 }))).toBeGreaterThan(subcooled(sound) + 0.2);
      expect(subcooled(with_({ charge: 0.1 }))).toBeGreaterThan(subcooled(sound) + 0.2);
      expect(with_({ evaporatorFlow: 0.1 }).enteringWaterTemperature_K).toBeGreaterThan(
        sound.enteringWaterTemperature_K + 0.3,
      );
    }
  });
});

interface Judged {
  plateaus: number;
  over: number;
  first: Cause | undefined;
}

interface Learned {
  seed: number;
  chiller: LaboratoryChiller;
  machine: Machine;
  normal: CircuitNormal;
}

function learn(seed: number): Learned {
  const chiller = laboratoryChiller(seed);
  const machine = machineOf({ refrigerant: chiller.refrigerant, evaporator: 'flooded' });
  const day = findPlateaus(laboratoryDay(chiller, 1000 * seed, { step_s: 60 }), chiller.refrigerant);
  return { seed, chiller, machine, normal: learnCircuitNormal(machine, day, signaturesOf)! };
}

type Reads = Partial<Record<`${string}_K` & keyof CircuitSeries, number>>;

function judge({ seed, chiller, machine, normal }: Learned, of: number, day: Day, reads: Reads = {}): Judged {
  const series = laboratoryDay(chiller, 1000 * seed + of, { step_s: 60, ...day });
  for (const [name, by] of Object.entries(reads) as [keyof Reads, number][])
    series[name] = series[name].map((value) => value + by);
  const judged = judgePlateaus(machine, normal, findPlateaus(series, chiller.refrigerant), true);
  const over = judged.filter(({ overLimit }) => overLimit).map(({ detail }) => detail);
  const [first] = weighCausesOfDepartures(machine, normal, over);
  return { plateaus: judged.length, over: over.length, first: over.length > 0 ? first?.cause : undefined };
}

/** Thermometers that have gone off by something between 0.05 and 0.1 K, either way, each by itself. */
const drifted = (random: () => number): Reads =>
  Object.fromEntries(
    channels
      .filter((name) => name.endsWith('Temperature_K'))
      .map((name) => [name, (random() < 0.5 ? -1 : 1) * (0.05 + 0.05 * random())]),
  );

const shareOver = (all: readonly Judged[]) =>
  all.reduce((sum, { over }) => sum + over, 0) / all.reduce((sum, { plateaus }) => sum + plateaus, 0);

const generous_ms = 180_000;

describe('a centrifugal chiller on a stand, learned from one day of 27 conditions', () => {
  let learned: Learned[];
  beforeAll(() => {
    learned = seeds.map(learn);
  }, generous_ms);
  const judgeAll = (of: number, day: Day) => learned.map((one) => judge(one, of, day));

  it(
    'is over the limit on at most one of 24 plateaus of normal days some weeks later',
    () => {
      const all = [...judgeAll(1, {}), ...judgeAll(2, {})];
      expect(shareOver(all)).toBeLessThanOrEqual(1 / 24);
    },
    generous_ms,
  );

  it(
    'is so, too, where each thermometer reads 0.05 to 0.1 K otherwise and the cooling water has other temperatures',
    () => {
      const all = [41, 42].flatMap((of) =>
        learned.map((one) => judge(one, of, { outside: 0.5 }, drifted(seededRandom(1000 * of + one.seed)))),
      );
      expect(shareOver(all)).toBeLessThanOrEqual(1 / 24);
    },
    generous_ms,
  );

  it.each(slight)(
    'is over the limit on 95 % of plateaus with $cause, which is told first',
    ({ cause, fault }) => {
      const all = judgeAll(11, { fault });
      expect(shareOver(all)).toBeGreaterThanOrEqual(0.95);
      expect(all.filter(({ first }) => first === cause).length).toBeGreaterThanOrEqual(4);
    },
    generous_ms,
  );

  // What the charge does besides: it covers tubes, so that condensing rises, and cools no liquid below the entering water.
  it(
    'has a liquid thermometer that reads 1.5 K low told from too much charge',
    () => {
      const all = learned.map((one) => judge(one, 31, {}, { liquidTemperature_K: -1.5 }));
      expect(shareOver(all)).toBeGreaterThanOrEqual(0.95);
      expect(all.filter(({ first }) => first === 'sensor-wrong').length).toBeGreaterThanOrEqual(4);
    },
    generous_ms,
  );

  it(
    'shows an eighth of the condenser’s tubes blocked on four of five machines, and tells it first',
    () => {
      const seen = judgeAll(21, { fault: { condenserTubes: 0.12 } }).filter(
        ({ over, plateaus }) => over >= 0.95 * plateaus,
      );
      expect(seen.length).toBeGreaterThanOrEqual(4);
      expect(seen.filter(({ first }) => first !== 'condenser-fouled').length).toBeLessThanOrEqual(1);
    },
    generous_ms,
  );
});
