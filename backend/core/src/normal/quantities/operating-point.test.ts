import { describe, expect, it } from 'vitest';
import { only, r134a, saturated } from '../../diagnosis/causes/sample-channels.js';
import { machineOf } from './machine.js';
import { choosePoint, isBeyondLoad, pointOf } from './operating-point.js';
import type { ChannelValues } from './quantities.js';

const machine = r134a();
/** Plateaus at loads from 30 to 100 % with condenser water from 295 to 303 K, and this flow of the condenser. */
const plateaus = (flow: (load: number, i: number) => number) =>
  Array.from({ length: 24 }, (_, i) => {
    const load = 30 + 10 * (i % 8);
    return only({
      compressorLoad_pct: load,
      condenserEnteringTemperature_K: 295 + 4 * Math.floor(i / 8),
      leavingWaterTemperature_K: 280 + Math.sin(i),
      condenserFlow_m3_s: 0.02 * flow(load, i),
    });
  });

describe('the flow of a condenser', () => {
  it('is a condition of its own where the plant varies it freely', () => {
    const point = choosePoint(
      machine,
      plateaus((_, i) => 1 + 0.2 * Math.sin(2.4 * i)),
    );
    expect(point.used).toContain('condenserFlow');
  });

  it('is none where a pump has it follow the load, or where it is held: less of it is then a departure', () => {
    expect(
      choosePoint(
        machine,
        plateaus((load) => 0.5 + load / 200),
      ).used,
    ).not.toContain('condenserFlow');
    expect(
      choosePoint(
        machine,
        plateaus((_, i) => 1 + 0.01 * Math.sin(2.4 * i)),
      ).used,
    ).not.toContain('condenserFlow');
  });
});

describe('a load that normal running never came near', () => {
  const learned = plateaus(() => 1).map((at, i) => ({ ...at, compressorLoad_pct: 45 + (i % 4) }));
  const reading = choosePoint(machine, learned);
  const beyond = (load_pct: number) =>
    isBeyondLoad(pointOf(machine, { ...learned[0]!, compressorLoad_pct: load_pct }, reading), reading);

  it('is beyond what it tells: with a second compressor of the same size, twice the load', () => {
    expect(beyond(96)).toBe(true);
  });

  it('is not, a quarter over the highest usual one or under the lowest', () => {
    expect(beyond(60)).toBe(false);
    expect(beyond(20)).toBe(false);
  });

  it('is none where the operating point has no load', () => {
    const point = { ...reading, used: [], centre: [] };
    expect(isBeyondLoad([], point)).toBe(false);
  });
});

describe('the heat of circuits that share their water', () => {
  const shared = machineOf({ refrigerant: 'R134a', circuits: 2 });
  /** Circuits of one size: this one's load, the other's, and the water's heat by both, at 4.18 MJ/(m3 K) and 100 kW each. */
  const beside = (other: (load: number, i: number) => number) =>
    plateaus(() => 1).map((at, i) => ({
      ...at,
      waterFlow_m3_s: 0.01,
      enteringWaterTemperature_K:
        at.leavingWaterTemperature_K +
        (1e3 * (at.compressorLoad_pct + other(at.compressorLoad_pct, i))) / (0.01 * 4.18e6),
    }));

  it('is a condition of its own where the other circuit does not go with this one', () => {
    const switched = choosePoint(
      shared,
      beside((_, i) => (i % 3 === 0 ? 0 : 60)),
    );
    expect(switched.used).toContain('unitHeat');
    expect(switched.fullHeat).toBeGreaterThan(140e3);
  });

  it('is none where both go alike, and none of a circuit that has its water to itself', () => {
    const alike = beside((load) => load);
    expect(choosePoint(shared, alike).used).not.toContain('unitHeat');
    expect(choosePoint(shared, alike).fullHeat).toBeUndefined();
    expect(choosePoint(machine, alike).used).not.toContain('unitHeat');
  });
});

describe('what a condenser is cooled by', () => {
  const of = (
    condensing_K: (load: number, i: number) => number,
    rest: (i: number) => Partial<ChannelValues>,
  ) =>
    plateaus(() => NaN).map((at, i) => ({
      ...at,
      condenserEnteringTemperature_K: NaN,
      dischargePressure_Pa: saturated(condensing_K(at.compressorLoad_pct, i)),
      ...rest(i),
    }));
  const room = (i: number) => ({ ambientTemperature_K: 294 + (i % 5) });
  const byTower = (load: number, i: number) => 300 + load / 20 + (i % 7);

  it('is the ambient where air cools it, never where water does', () => {
    expect(choosePoint(r134a('dry-expansion', 'air'), of(byTower, room)).used).toContain('sink');
    expect(choosePoint(machine, of(byTower, room)).used).not.toContain('sink');
  });

  it('is told by the water that leaves where that alone is sent', () => {
    const reading = choosePoint(
      machine,
      of(byTower, (i) => ({ condenserLeavingTemperature_K: 298 + (i % 7) })),
    );
    expect(reading.used).toContain('sink');
    expect(reading.used).not.toContain('condensing');
  });

  it('has all else compared at the same condensing temperature where nothing tells it, if that varied by itself', () => {
    expect(choosePoint(machine, of(byTower, room)).used).toContain('condensing');
    const held = of((load) => 300 + load / 20, room);
    expect(choosePoint(machine, held).used).not.toContain('condensing');
  });
});
